import type { Register, RegisterChange } from "../domain/planter";
import { display } from "../domain/tag-code";
import { addDays } from "../domain/water";
import { dayWords, t, temperature, weekday, when, word } from "../i18n";

/** What only the server needs: no person reads it. */
const INNER = new Set(["id", "version", "joined_at", "old_codes", "added_at", "picture"]);
const DAY = /^\d{4}-\d\d-\d\d$/;
const NIGHT = /^(\d{4}-\d\d-\d\d) (recorded|forecast)$/;
/** Fields whose values have words of their own. */
const WORDED: Record<string, string> = {
  status: "status",
  gauge: "gauge",
  shape: "shape",
  role: "role",
  sun: "sun",
  wind: "wind",
  source: "weather",
  condition: "condition",
};
/** Any Monday, to name the days of the week from. */
const MONDAY = "2026-05-04";

interface Planting {
  planted_on?: string | null;
  plants?: string[];
}

/** A value as a person would say it. */
function shown(key: string, value: unknown, register: Register): string {
  if (value === null || value === undefined || value === "") return t("app.changes.nothing");
  if (typeof value === "boolean") return t(value ? "app.changes.yes" : "app.changes.no");
  if (key === "crew_days" && Array.isArray(value)) {
    const days = value.map((day) => weekday(addDays(MONDAY, Number(day))));
    return days.join(", ") || t("app.changes.nothing");
  }
  if (key === "things" && Array.isArray(value)) {
    const things = (value as { what: string }[]).map((thing) => word("thing", thing.what));
    return things.join(", ") || t("app.changes.nothing");
  }
  if (Array.isArray(value)) return value.join(", ");
  if (typeof value === "object") {
    const { planted_on, plants } = value as Planting;
    return [plants?.join(", "), planted_on ? dayWords(planted_on) : ""].filter(Boolean).join(", ");
  }
  const text = String(value);
  if (NIGHT.test(key)) return temperature(Number(value));
  if (DAY.test(text)) return dayWords(text);
  if (key === "code") return display(text);
  if (key === "site") return register.sites.find((site) => site.id === text)?.name ?? text;
  return WORDED[key] ? word(WORDED[key], text) : text;
}

/** The name of what changed: a field, or a night. */
function named(key: string): string {
  const night = NIGHT.exec(key);
  if (!night?.[1] || !night[2]) return word("field", key);
  return `${dayWords(night[1])} (${word("night_kind", night[2]).toLowerCase()})`;
}

/** Every difference in a line of its own: what it was and what it is. */
function differences(change: RegisterChange, register: Register): string[] {
  const keys = [...new Set([...Object.keys(change.before), ...Object.keys(change.after)])];
  return keys
    .filter((key) => !INNER.has(key))
    .map((key) => [key, change.before[key], change.after[key]] as const)
    .filter(([, before, after]) => (before ?? "") !== (after ?? ""))
    .map(([key, before, after]) => {
      const what = named(key);
      const now = shown(key, after, register);
      if (!(key in change.before) || before === null)
        return t("app.changes.set", { what, new: now });
      return t("app.changes.from_to", { what, old: shown(key, before, register), new: now });
    });
}

/** The last changes of the register: who, when, what it was and what it is. */
export function Changes({ register }: { register: Register }) {
  return (
    <section class="stack">
      <h2>{t("app.changes.title")}</h2>
      {register.changes.length === 0 && <p>{t("app.changes.none")}</p>}
      <ul class="visits changes">
        {register.changes.map((change) => (
          <li key={`${change.at} ${change.what} ${change.id}`}>
            <p class="visit__head">
              <b>{[word("change", change.what), change.name].filter(Boolean).join(" ")}</b>
              <span class="small soft">
                {t("app.changes.by", { when: when(change.at), by: change.by })}
              </span>
            </p>
            <ul class="small">
              {differences(change, register).map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
          </li>
        ))}
      </ul>
    </section>
  );
}
