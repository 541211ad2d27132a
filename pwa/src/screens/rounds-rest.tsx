import { useEffect, useState } from "preact/hooks";
import {
  type CalendarLink,
  type CalendarLinkMade,
  type HoursAnswer,
  makeCalendarLink,
  readCalendarLinks,
  readHours,
  revokeCalendarLink,
} from "../actions/rounds";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { Options } from "../components/options";
import { ProblemNote } from "../components/problem-note";
import type { Problem, Register } from "../domain/planter";
import { dayWords, number, t } from "../i18n";
import { worded, wrongAt } from "./use-register";

/** Everybody's hours of the last month, and each round in a sentence. */
export function HoursPart() {
  const [hours, setHours] = useState<HoursAnswer | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  useEffect(() => {
    void readHours().then((answer) => {
      setProblem(answer.problem ? worded(answer.problem) : null);
      if (answer.value) setHours(answer.value);
    });
  }, []);
  return (
    <section class="stack stack--wide">
      {problem && <ProblemNote problem={problem} />}
      {hours && (
        <>
          <p>{hours.rule}</p>
          {!hours.people.length && <p>{t("app.hours.none")}</p>}
          <table class="table table--rows num">
            <tbody>
              {hours.people.map((one) => (
                <tr key={one.person.id}>
                  <th scope="row">{one.person.name}</th>
                  <td>{t("app.hours.sum", { hours: number(one.minutes / 60, 2) })}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <ul class="stack stack--close">
            {hours.rounds.map((one) => (
              <li key={one.round}>{one.sentence}</li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

/** Addresses for calendar apps: made, copied once, taken back. */
export function CalendarPart({ register }: { register: Register }) {
  const [links, setLinks] = useState<CalendarLink[]>([]);
  const [made, setMade] = useState<CalendarLinkMade | null>(null);
  const [name, setName] = useState("");
  const [person, setPerson] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const load = async () => {
    const answer = await readCalendarLinks();
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) setLinks(answer.value.links);
  };
  useEffect(() => {
    void load();
  }, []);
  const make = async () => {
    const answer = await makeCalendarLink(name, person || null);
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (!answer.value) return;
    setMade(answer.value);
    setName("");
    await load();
  };
  const revoke = async (id: string) => {
    await revokeCalendarLink(id);
    if (made?.id === id) setMade(null);
    await load();
  };
  return (
    <section class="stack stack--wide">
      <p>{t("app.calendar.why")}</p>
      <div class="form">
        <Field label={t("app.calendar.name")} wrong={wrongAt(problem, "/name")}>
          <input value={name} maxLength={80} onInput={(e) => setName(e.currentTarget.value)} />
        </Field>
        <Field label={t("app.calendar.whose")}>
          <select value={person} onChange={(e) => setPerson(e.currentTarget.value)}>
            <option value="">{t("app.calendar.all")}</option>
            <Options of={register.people.filter((one) => one.state === "active")} />
          </select>
        </Field>
      </div>
      {problem && <ProblemNote problem={problem} />}
      <button type="button" class="act" disabled={!name.trim()} onClick={() => void make()}>
        {t("app.calendar.make")}
      </button>
      {made && (
        <div class="slab stack">
          <Caution>{t("app.calendar.once")}</Caution>
          <Field label={t("app.calendar.address")}>
            <input readOnly value={made.url} onFocus={(e) => e.currentTarget.select()} />
          </Field>
          <button
            type="button"
            class="btn"
            onClick={() => void navigator.clipboard?.writeText(made.url)}
          >
            {t("app.calendar.copy")}
          </button>
        </div>
      )}
      <ul>
        {links.map((link) => (
          <li key={link.id} class="invite">
            <span class="stack stack--close">
              <b>{link.name}</b>
              <span class="small soft">
                {link.revoked_at
                  ? t("app.calendar.revoked", { day: dayWords(link.revoked_at) })
                  : t("app.calendar.made", { day: dayWords(link.made_at) })}
              </span>
            </span>
            {!link.revoked_at && (
              <button type="button" class="btn" onClick={() => void revoke(link.id)}>
                {t("app.calendar.revoke")}
              </button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
