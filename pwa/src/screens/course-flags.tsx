import { useEffect, useState } from "preact/hooks";
import { readFlags } from "../actions/planter-course";
import { ProblemNote } from "../components/problem-note";
import { Stake } from "../components/stake";
import { decisionWords, visitWords } from "../components/wording";
import type { Problem, Visit } from "../domain/planter";
import type { FlagRun, PlanterFlags } from "../domain/planter-course";
import { dayOf, dayWords, inUnits, number, t, tn } from "../i18n";
import { momentOnPaper } from "./report-figures";
import { worded } from "./use-register";

/** So many are shown at once; the rest is a tap away, and on paper all the same. */
const SHOWN = 10;

function dayOnPaper(day: string): string {
  return `${dayWords(day, true)} ${day.slice(0, 4)}`;
}

/** "Kofi: found half, 8 L given"; what came from a paper book may name nobody. */
function byWhom(visit: Visit): string {
  return visit.by ? `${visit.by}: ${visitWords(visit)}` : visitWords(visit);
}

interface RunProps {
  run: FlagRun;
  visits: Map<string, Visit>;
  /** The season is over: what is up was so at its end. */
  whole: boolean;
}

/** What ended it: records of the day it went down, or the days alone. */
function Cleared({ run, visits, whole }: RunProps) {
  if (run.cleared === null) {
    return (
      <p>
        <b>{tn(whole ? "app.course.flag_up_end" : "app.course.flag_up", run.days)}</b>
      </p>
    );
  }
  const by = run.cleared_by.flatMap((record) => visits.get(record) ?? []);
  return (
    <p>
      <b>{tn("app.course.flag_cleared", run.days, { day: dayOnPaper(run.cleared) })}</b>{" "}
      {by.length ? by.map(byWhom).join("; ") : t("app.course.flag_days")}.
    </p>
  );
}

function OneRun(props: RunProps) {
  const { run, visits } = props;
  const ground = run.records.flatMap((record) => visits.get(record) ?? []);
  return (
    <>
      <p class="visit__head">
        <Stake urgency={run.urgency} small />
        <b>{run.name}</b>
        <span class="small">{t("app.course.flag_since", { day: dayOnPaper(run.since) })}</span>
      </p>
      {run.sentence && <p>{inUnits(run.sentence)}</p>}
      {ground.length > 0 && (
        <p class="small soft">
          {t("app.course.flag_ground")}{" "}
          {ground.map((visit) => `${dayOnPaper(dayOf(visit.at))}, ${byWhom(visit)}`).join("; ")}.
        </p>
      )}
      {run.decisions.map((decision) => (
        <p key={decision.at} class="small">
          {decision.decision === "seen"
            ? t("app.course.flag_seen", { by: decision.by })
            : decisionWords(decision)}
          , {momentOnPaper(decision.at)}
          {decision.note ? `: “${decision.note}”` : "."}
        </p>
      ))}
      {run.settled_days !== null && (
        <p class="small">{tn("app.course.flag_settled", run.settled_days)}</p>
      )}
      <Cleared {...props} />
    </>
  );
}

function Runs({ flags }: { flags: PlanterFlags }) {
  const [all, setAll] = useState(false);
  const visits = new Map(flags.visits.map((visit) => [visit.record, visit]));
  const { raised, cleared, still_up, median_days, longest_days } = flags.settled;
  if (!raised) return <p>{t("app.course.flags_none")}</p>;
  return (
    <>
      <p>
        {t("app.course.flags_sum", {
          raised: tn("app.course.flags_raised", raised),
          cleared: number(cleared),
          up: number(still_up),
        })}{" "}
        {median_days !== null &&
          t("app.course.flags_median", {
            median: number(median_days, 1),
            longest: number(longest_days ?? median_days),
          })}
      </p>
      <ul class="visits">
        {flags.runs.map((run, index) => (
          <li
            key={`${run.code} ${run.since}`}
            class={!all && index >= SHOWN ? "beyond" : undefined}
          >
            <OneRun run={run} visits={visits} whole={flags.whole} />
          </li>
        ))}
      </ul>
      {!all && raised > SHOWN && (
        <p>
          <button type="button" class="btn" onClick={() => setAll(true)}>
            {tn("app.course.flags_more", raised - SHOWN)}
          </button>
        </p>
      )}
    </>
  );
}

/** Flags of the season, each with what raised it and what or who ended it. Comes after the rest. */
export function CourseFlags({ id, year }: { id: string; year: string }) {
  const [flags, setFlags] = useState<PlanterFlags | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  useEffect(() => {
    let wanted = true;
    void readFlags(id, year).then((answer) => {
      if (!wanted) return;
      setProblem(answer.problem ? worded(answer.problem) : null);
      setFlags(answer.value ?? null);
    });
    return () => {
      wanted = false;
    };
  }, [id, year]);
  return (
    <section class="report__part" aria-busy={!flags && !problem}>
      <h2>{t("app.course.flags")}</h2>
      {problem && <ProblemNote problem={problem} />}
      {!flags && !problem && <p role="status">{t("app.course.flags_working")}</p>}
      {flags && <Runs flags={flags} />}
    </section>
  );
}
