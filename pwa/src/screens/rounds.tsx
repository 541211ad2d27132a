import { useCallback, useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { type CrewAnswer, readCrew } from "../actions/rounds";
import { PartsNav } from "../components/parts-nav";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t } from "../i18n";
import { Desk } from "./desk";
import { CrewPart } from "./rounds-crew";
import { PlanPart } from "./rounds-plan";
import { CalendarPart, HoursPart } from "./rounds-rest";
import { TapsPart } from "./rounds-taps";
import { WaysPart } from "./rounds-ways";
import { useRegister, worded } from "./use-register";
import { useUndone } from "./use-undone";

const PARTS = ["plan", "crew", "taps", "ways", "hours", "calendar"] as const;
const OF_CREW = { crew: CrewPart, taps: TapsPart, ways: WaysPart };

/** What the planning rests on: who goes out, taps, paced ways. */
function Ground({ part }: { part: keyof typeof OF_CREW }) {
  const { register, problem } = useRegister();
  const [crew, setCrew] = useState<CrewAnswer | null>(null);
  const [refused, setRefused] = useState<Problem | null>(null);
  const reload = useCallback(async () => {
    const answer = await readCrew();
    setRefused(answer.problem ? worded(answer.problem) : null);
    if (answer.value) setCrew(answer.value);
  }, []);
  useEffect(() => {
    void reload();
  }, [reload]);
  useUndone(reload);
  const Chosen = OF_CREW[part];
  const wrong = problem ?? refused;
  return (
    <>
      {wrong && <ProblemNote problem={wrong} />}
      {register && crew && <Chosen crew={crew} register={register} reload={reload} />}
    </>
  );
}

function Calendar() {
  const { register, problem } = useRegister();
  if (problem) return <ProblemNote problem={problem} />;
  return register ? <CalendarPart register={register} /> : null;
}

/** The desk of rounds: the plan, who goes out, taps, ways, hours, calendar. */
export function RoundsScreen() {
  const { query } = useLocation();
  const part = PARTS.find((one) => one === query.part) ?? "plan";
  return (
    <Desk current="rounds" title={t("app.rounds.title")}>
      <PartsNav
        label={t("app.rounds.parts")}
        entry={t("app.desk.part")}
        parts={[
          ...PARTS.map((one) => ({
            href: `/rounds?part=${one}`,
            word: t(`app.rounds.part_${one}`),
            current: one === part,
          })),
          { href: "/round", word: t("app.round.title") },
        ]}
      />
      {part === "plan" && <PlanPart />}
      {part === "hours" && <HoursPart />}
      {part === "calendar" && <Calendar />}
      {part !== "plan" && part !== "hours" && part !== "calendar" && (
        <Ground key={part} part={part} />
      )}
    </Desk>
  );
}
