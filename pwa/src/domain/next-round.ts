/** The round a flag is handed to: the next one people were told, or the next that is planned. */

import type { PlanterCard, RoundCard } from "./planter";
import type { DecisionBody } from "./records";
import type { ReviewCase } from "./review";

/** The server takes so many characters of why. */
const MOST_WHY = 500;

function open(round: RoundCard, today: string): boolean {
  return round.told_at !== null && round.day >= today && round.state !== "ended";
}

/** The rounds of the next day for which people were told any, by name. */
export function nextRounds(rounds: readonly RoundCard[], today: string): RoundCard[] {
  const told = rounds.filter((round) => open(round, today));
  const day = told.map((round) => round.day).sort()[0];
  return told
    .filter((round) => round.day === day)
    .sort((one, other) => one.person.name.localeCompare(other.person.name));
}

/**
 * Whose round a planter goes on: whoever has it among their stops, else whoever comes to its site,
 * else the first by name. null: nobody was told anything yet, and the next plan takes it up.
 */
export function roundFor(
  planter: Pick<PlanterCard, "id" | "site">,
  rounds: readonly RoundCard[],
  today: string,
): RoundCard | null {
  const next = nextRounds(rounds, today);
  const has = (round: RoundCard) => round.stops.some((stop) => stop.planter === planter.id);
  const near = (round: RoundCard) => round.stops.some((stop) => stop.site.id === planter.site.id);
  return next.find(has) ?? next.find(near) ?? next[0] ?? null;
}

/** The decision that puts a case on a round, with what the flag says as the reason. */
export function ontoRound(one: ReviewCase, round: RoundCard | null): DecisionBody {
  const why = `${one.flag.name}: ${one.flag.sentence}`;
  return {
    flag: one.flag.code,
    decision: "next-round",
    evidence: one.flag.records,
    why: why.length > MOST_WHY ? `${why.slice(0, MOST_WHY - 1)}…` : why,
    ...(round ? { round: round.id } : {}),
  };
}
