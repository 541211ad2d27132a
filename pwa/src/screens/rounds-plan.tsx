import { useEffect, useState } from "preact/hooks";
import { changeSettings } from "../actions/register";
import { type PlanAnswer, type PlannedRound, planRounds, tellRounds } from "../actions/rounds";
import { Caution } from "../components/caution";
import { Fold } from "../components/fold";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { dayWords, inUnits, number, t, tn, volume, word } from "../i18n";
import { worded } from "./use-register";

const OPEN_DAYS = 2;

const percent = (share: number) => `${number(share * 100)} %`;

/** Visits against planters found dry, each a setting that can be taken. */
function TradeOff({ plan, onTake }: { plan: PlanAnswer; onTake: (risk: number) => void }) {
  return (
    <section class="group">
      <div class="group__head">
        <h2>{t("app.rounds.trade")}</h2>
      </div>
      <p class="small">{t("app.rounds.trade_what")}</p>
      <table class="table table--rows num">
        <thead>
          <tr>
            <th scope="col">{t("app.rounds.trade_risk")}</th>
            <th scope="col">{t("app.rounds.trade_visits")}</th>
            <th scope="col">{t("app.rounds.trade_dry")}</th>
            <th scope="col">
              <span class="hidden-text">{t("app.rounds.trade_take")}</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {plan.choices.map((one) => (
            <tr key={one.risk}>
              <th scope="row">{percent(one.risk)}</th>
              <td>{one.visits}</td>
              <td>{number(one.dry, 1)}</td>
              <td>
                {one.chosen ? (
                  <b>{t("app.rounds.trade_now")}</b>
                ) : (
                  <button type="button" class="btn" onClick={() => onTake(one.risk)}>
                    {t("app.rounds.trade_take")}
                  </button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function RoundTable({ round }: { round: PlannedRound }) {
  const facts = [
    word("mode", round.mode),
    tn("app.rounds.stops", round.stops.length),
    ...(round.litres_l >= 0.5 ? [volume(Math.round(round.litres_l))] : []),
    t("app.rounds.walk", { metres: number(round.walk_m) }),
    ...(round.drive_m ? [t("app.rounds.drive", { metres: number(round.drive_m) })] : []),
    t("app.rounds.minutes", { minutes: number(round.takes_min) }),
    ...(round.refills ? [tn("app.rounds.refills", round.refills)] : []),
  ];
  return (
    <section class="stack stack--close">
      <h3>{round.person.name}</h3>
      <p class="small">{facts.join(", ")}</p>
      <ol class="rounds__stops">
        {round.stops.map((stop) => (
          <li key={stop.planter}>
            <b>{stop.name}</b>
            {stop.litres_l !== null && stop.litres_l >= 0.5 && (
              <span class="num">{volume(Math.round(stop.litres_l))}</span>
            )}
            <span class="small">
              <b>{t(stop.must ? "app.rounds.must" : "app.rounds.may")}</b>{" "}
              {stop.why.map(inUnits).join(" ")}
              {!stop.must && stop.chance !== null && stop.chance > 0
                ? ` ${t("app.rounds.chance", { chance: percent(stop.chance) })}`
                : ""}
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}

type PlannedDay = PlanAnswer["days"][number];

function DayParts({ day }: { day: PlannedDay }) {
  return (
    <div class="stack">
      {!day.rounds.length && <p>{t("app.rounds.day_free")}</p>}
      {day.rounds.map((round) => (
        <RoundTable key={round.id} round={round} />
      ))}
      {day.left_out.map((one) => (
        <Caution key={one.planter}>
          <b>{t("app.rounds.left_out", { name: one.name })}</b> {one.why.map(inUnits).join(" ")}
        </Caution>
      ))}
    </div>
  );
}

/** A later day in one line: who goes, how many stops, how much water. */
function dayLine(day: PlannedDay): string {
  const rounds = day.rounds.map((round) =>
    [
      round.person.name,
      tn("app.rounds.stops", round.stops.length),
      ...(round.litres_l >= 0.5 ? [volume(Math.round(round.litres_l))] : []),
    ].join(", "),
  );
  const left = day.left_out.length ? [tn("app.rounds.left_count", day.left_out.length)] : [];
  const parts = [...rounds, ...left];
  return `${dayWords(day.date)}: ${parts.length ? parts.join("; ") : t("app.rounds.day_free")}`;
}

/** The next days whole; those further off, which will be planned again, in a line to open. */
function Days({ plan }: { plan: PlanAnswer }) {
  const later = plan.days.slice(OPEN_DAYS);
  return (
    <>
      {plan.days.slice(0, OPEN_DAYS).map((day) => (
        <section key={day.date} class="group stack">
          <div class="group__head">
            <h2>{dayWords(day.date)}</h2>
          </div>
          <DayParts day={day} />
        </section>
      ))}
      {later.length > 0 && (
        <section class="group stack">
          <div class="group__head">
            <h2>{t("app.rounds.later")}</h2>
          </div>
          {later.map((day) => (
            <Fold key={day.date} summary={dayLine(day)}>
              <DayParts day={day} />
            </Fold>
          ))}
        </section>
      )}
    </>
  );
}

function Tell({ plan, onTold }: { plan: PlanAnswer; onTold: () => Promise<void> }) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [told, setTold] = useState(false);
  const tell = async () => {
    const answer = await tellRounds(plan.mark);
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) {
      setTold(true);
      await onTold();
    }
  };
  return (
    <section class="pot" aria-label={t("app.rounds.tell")}>
      <h2>{t("app.rounds.changes")}</h2>
      {plan.changes.length ? (
        <ul class="stack stack--close">
          {plan.changes.map((one) => (
            <li key={one.what + one.planter + one.sentence}>{inUnits(one.sentence)}</li>
          ))}
        </ul>
      ) : (
        <p>{t("app.rounds.no_changes")}</p>
      )}
      {problem && <ProblemNote problem={problem} />}
      {told && <p role="status">{t("app.rounds.told")}</p>}
      <button type="button" class="act" onClick={() => void tell()}>
        {t("app.rounds.tell")}
      </button>
    </section>
  );
}

/** Two weeks ahead: days, persons, stops; what is missing, in words; telling the crew. */
export function PlanPart() {
  const [plan, setPlan] = useState<PlanAnswer | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [busy, setBusy] = useState(true);
  const load = async () => {
    setBusy(true);
    const answer = await planRounds();
    setBusy(false);
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) setPlan(answer.value);
  };
  useEffect(() => {
    void load();
  }, []);
  const take = async (run_dry_risk: number) => {
    const answer = await changeSettings({ run_dry_risk });
    if (answer.problem) setProblem(worded(answer.problem));
    else await load();
  };
  return (
    <>
      <p role="status">{busy ? t("app.rounds.working") : ""}</p>
      {problem && <ProblemNote problem={problem} />}
      {plan && (
        <div class="stack stack--wide" aria-busy={busy}>
          {plan.notes.map((note) => (
            <Caution key={note}>{inUnits(note)}</Caution>
          ))}
          <Tell plan={plan} onTold={load} />
          {!plan.days.some((day) => day.rounds.length) && <p>{t("app.rounds.nothing")}</p>}
          <Days plan={plan} />
          <TradeOff plan={plan} onTake={(risk) => void take(risk)} />
        </div>
      )}
    </>
  );
}
