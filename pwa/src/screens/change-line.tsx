import type { Register, RegisterChange } from "../domain/planter";
import { display } from "../domain/tag-code";
import { addDays } from "../domain/water";
import { dayWords, t, temperature, weekday, when, word } from "../i18n";

/** What only the server needs: no person reads it. */
const INNER = new Set([
  ...["id", "version", "joined_at", "old_codes", "added_at", "picture", "caution", "person"],
]);
const DAY = /^\d{4}-\d\d-\d\d$/;
const NIGHT = /^(\d{4}-\d\d-\d\d) (recorded|forecast)$/;
const ROUND = /^round-(\d{4}-\d\d-\d\d)-(.+)$/;
const PAIR = /^([a-z]+-\w+) ([a-z]+-\w+)$/;
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

function nameOf(id: string, register: Register): string {
  const all = [...register.planters, ...register.sites, ...register.people];
  return all.find((one) => one.id === id)?.name ?? id;
}

/** A value as a person would say it. */
export function shownValue(key: string, value: unknown, register: Register): string {
  if (value === null || value === undefined || value === "") return t("app.changes.nothing");
  if (typeof value === "boolean") return t(value ? "app.changes.yes" : "app.changes.no");
  if ((key === "crew_days" || key === "weekdays") && Array.isArray(value)) {
    const days = value.map((day) => weekday(addDays(MONDAY, Number(day))));
    return days.join(", ") || t("app.changes.nothing");
  }
  if (key === "things" && Array.isArray(value)) {
    const things = (value as { what: string }[]).map((thing) => word("thing", thing.what));
    return things.join(", ") || t("app.changes.nothing");
  }
  if (Array.isArray(value)) return value.join(", ") || t("app.changes.nothing");
  if (typeof value === "object") {
    const { planted_on, plants } = value as Planting;
    if (plants === undefined && planted_on === undefined) return Object.values(value).join(", ");
    return [plants?.join(", "), planted_on ? dayWords(planted_on) : ""].filter(Boolean).join(", ");
  }
  const text = String(value);
  if (ROUND.test(key))
    return text
      .split(", ")
      .map((id) => nameOf(id, register))
      .join(", ");
  if (NIGHT.test(key)) return temperature(Number(value));
  if (DAY.test(text)) return dayWords(text);
  if (key === "code") return display(text);
  if (key === "site") return nameOf(text, register);
  return WORDED[key] ? word(WORDED[key], text) : text;
}

/** The name of what changed: a field, a night, a way between two places. */
export function fieldName(key: string, register: Register): string {
  const night = NIGHT.exec(key);
  if (night?.[1] && night[2])
    return `${dayWords(night[1])} (${word("night_kind", night[2]).toLowerCase()})`;
  const round = ROUND.exec(key);
  if (round?.[1] && round[2]) return `${dayWords(round[1])}, ${nameOf(round[2], register)}`;
  const pair = PAIR.exec(key);
  if (pair?.[1] && pair[2])
    return t("app.changes.way", {
      one: nameOf(pair[1], register),
      other: nameOf(pair[2], register),
    });
  if (DAY.test(key)) return dayWords(key);
  return word("field", key);
}

/** Every difference in a line of its own: what it was and what it is. */
function differences(change: RegisterChange, register: Register): string[] {
  const keys = [...new Set([...Object.keys(change.before), ...Object.keys(change.after)])];
  return keys
    .filter((key) => !INNER.has(key))
    .map((key) => [key, change.before[key], change.after[key]] as const)
    .filter(([, before, after]) => (before ?? "") !== (after ?? ""))
    .map(([key, before, after]) => {
      const what = fieldName(key, register);
      const now = shownValue(key, after, register);
      if (!(key in change.before) || before === null)
        return t("app.changes.set", { what, new: now });
      return t("app.changes.from_to", { what, old: shownValue(key, before, register), new: now });
    });
}

/** What was changed, by kind and name: "Planter Ferry landing 1". */
export function changeTitle(change: RegisterChange): string {
  const title = [word("change", change.what), change.name].filter(Boolean).join(" ");
  return change.undoes === null ? title : t("app.changes.undo_of", { title });
}

/** A change: what, who and when, what it was and what it is. */
export function ChangeLine({ change, register }: { change: RegisterChange; register: Register }) {
  return (
    <>
      <p class="visit__head">
        <b>{changeTitle(change)}</b>
        <span class="small soft">
          {t("app.changes.by", { when: when(change.at), by: change.by })}
        </span>
      </p>
      <ul class="small">
        {differences(change, register).map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </>
  );
}
