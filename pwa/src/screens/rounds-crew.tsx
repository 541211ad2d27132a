import { useState } from "preact/hooks";
import { type CrewAnswer, dropMember, type Member, putMember } from "../actions/rounds";
import { Field } from "../components/field";
import { Fold } from "../components/fold";
import { Options } from "../components/options";
import { CheckRow } from "../components/pick-row";
import { ProblemNote } from "../components/problem-note";
import type { Problem, Register } from "../domain/planter";
import { addDays } from "../domain/water";
import { dayWords, litresFrom, litresTyped, t, volume, volumeUnit, weekday, word } from "../i18n";
import { numberOrNull, shown } from "./use-plan";
import { worded, wrongAt } from "./use-register";

/** Any Monday, to name the days of the week from. */
const MONDAY = "2026-05-04";
const DAYS = ["0", "1", "2", "3", "4", "5", "6"] as const;
const MODES = ["foot", "cart", "vehicle"] as const;

export interface CrewPartProps {
  crew: CrewAnswer;
  register: Register;
  reload: () => Promise<void>;
}

function MemberForm(props: CrewPartProps & { person: string; was: Member | undefined }) {
  const { crew, person, was, reload } = props;
  const [weekdays, setWeekdays] = useState(was?.weekdays ?? []);
  const [minutes, setMinutes] = useState(shown(was?.minutes ?? 120));
  const [mode, setMode] = useState<Member["mode"]>(was?.mode ?? "foot");
  const [tank, setTank] = useState(was?.tank_l == null ? "" : String(litresTyped(was.tank_l)));
  const [tap, setTap] = useState(was?.start_tap ?? "");
  const [away, setAway] = useState((was?.away ?? []).join(", "));
  const [problem, setProblem] = useState<Problem | null>(null);
  const [kept, setKept] = useState(false);
  const keep = async () => {
    const litres = numberOrNull(tank);
    const body = {
      weekdays,
      minutes: Number(minutes),
      mode,
      tank_l: litres === null ? null : litresFrom(litres),
      start_tap: tap || null,
      away: away.split(/[\s,;]+/).filter(Boolean),
    };
    const answer = await putMember(person, body, was);
    setProblem(answer.problem ? worded(answer.problem) : null);
    setKept(Boolean(answer.value));
    if (answer.value) await reload();
  };
  const drop = async () => {
    const answer = await dropMember(person);
    setProblem(answer.problem ? worded(answer.problem) : null);
    await reload();
  };
  return (
    <div class="stack">
      <CheckRow
        legend={t("app.crew.days")}
        cols={2}
        values={DAYS.filter((day) => weekdays.includes(Number(day)))}
        onChange={(days) => setWeekdays(days.map(Number).sort())}
        choices={DAYS.map((value) => ({ value, word: weekday(addDays(MONDAY, Number(value))) }))}
      />
      <p class="small soft">{t("app.crew.days_hint")}</p>
      <div class="form">
        <Field label={t("app.crew.minutes")} wrong={wrongAt(problem, "/minutes")}>
          <input
            type="number"
            min={15}
            max={720}
            value={minutes}
            onInput={(e) => setMinutes(e.currentTarget.value)}
          />
        </Field>
        <Field label={t("app.crew.mode")}>
          <select value={mode} onChange={(e) => setMode(e.currentTarget.value as Member["mode"])}>
            {MODES.map((one) => (
              <option key={one} value={one}>
                {word("mode", one)}
              </option>
            ))}
          </select>
        </Field>
        <Field
          label={t("app.crew.tank", { unit: volumeUnit() })}
          hint={t("app.crew.tank_hint")}
          wrong={wrongAt(problem, "/tank_l")}
        >
          <input
            type="number"
            min={0}
            step="any"
            value={tank}
            onInput={(e) => setTank(e.currentTarget.value)}
          />
        </Field>
        <Field label={t("app.crew.start")} wrong={wrongAt(problem, "/start_tap")}>
          <select value={tap} onChange={(e) => setTap(e.currentTarget.value)}>
            <option value="">{t("app.crew.start_none")}</option>
            <Options of={crew.taps} />
          </select>
        </Field>
        <Field
          label={t("app.crew.away")}
          hint={t("app.crew.away_hint")}
          wrong={wrongAt(problem, "/away")}
        >
          <input value={away} onInput={(e) => setAway(e.currentTarget.value)} />
        </Field>
      </div>
      {problem && <ProblemNote problem={problem} />}
      {kept && <p role="status">{t("app.register.kept")}</p>}
      <div class="row row--wrap">
        <button type="button" class="btn" onClick={() => void keep()}>
          {t("app.register.keep")}
        </button>
        {was && (
          <button type="button" class="btn" onClick={() => void drop()}>
            {t("app.crew.drop")}
          </button>
        )}
      </div>
    </div>
  );
}

/** What is set, in a line. */
function memberLine(one: Member | undefined, crew: CrewAnswer): string {
  if (!one) return "";
  const tap = crew.taps.find((some) => some.id === one.start_tap);
  const days = one.weekdays.map((day) => weekday(addDays(MONDAY, day)));
  return [
    days.length ? days.join(", ") : t("app.crew.town_days"),
    t("app.crew.at_most", { minutes: one.minutes }),
    word("mode", one.mode),
    ...(one.tank_l ? [t("app.crew.has_tank", { tank: volume(one.tank_l) })] : []),
    ...(tap ? [t("app.crew.from", { tap: tap.name })] : []),
    ...(one.away.length
      ? [t("app.crew.is_away", { days: one.away.map((day) => dayWords(day)).join(", ") })]
      : []),
  ].join("; ");
}

/** Who goes out: days, minutes, how, and with which tank. */
export function CrewPart(props: CrewPartProps) {
  const { crew, register } = props;
  const [added, setAdded] = useState("");
  const members = new Map(crew.crew.map((one) => [one.person, one]));
  const active = register.people.filter((one) => one.state === "active");
  return (
    <div class="stack stack--wide">
      <p>{t("app.crew.why")}</p>
      {active
        .filter((one) => members.has(one.id) || one.id === added)
        .map((one) => (
          <section key={one.id} class="group stack">
            <div class="group__head">
              <h2>{one.name}</h2>
              <span>{memberLine(members.get(one.id), crew)}</span>
            </div>
            <Fold open={!members.has(one.id)} summary={t("app.crew.change", { name: one.name })}>
              <MemberForm
                key={members.get(one.id)?.version ?? 0}
                {...props}
                person={one.id}
                was={members.get(one.id)}
              />
            </Fold>
          </section>
        ))}
      <Field label={t("app.crew.add")}>
        <select value={added} onChange={(e) => setAdded(e.currentTarget.value)}>
          <option value="">{t("app.crew.add_who")}</option>
          <Options of={active.filter((one) => !members.has(one.id))} />
        </select>
      </Field>
    </div>
  );
}
