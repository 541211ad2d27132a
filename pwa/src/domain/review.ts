/** What the coordinator's review shows, from the planter cards: every flag that needs someone. */

import type { FlagCard, PlanterCard, Urgency, Visit } from "./planter";

export interface ReviewCase {
  /** Planter and flag: the same case keeps its place on the screen while it changes. */
  key: string;
  planter: PlanterCard;
  flag: FlagCard;
  /** The very visits the flag rests on, newest first, as far as the card carries them. */
  evidence: Visit[];
}

export interface ReviewGroup {
  urgency: Urgency;
  cases: ReviewCase[];
  planters: number;
}

export interface ReviewList {
  groups: ReviewGroup[];
  /** Flags a decision has quieted for now. */
  quiet: ReviewCase[];
}

const ORDER: Urgency[] = ["today", "this-week", "watch"];

function caseOf(planter: PlanterCard, flag: FlagCard): ReviewCase {
  const known = [...planter.visits, ...planter.evidence];
  const evidence = known
    .filter((visit) => flag.records.includes(visit.record))
    .sort((one, other) => other.at.localeCompare(one.at));
  return { key: `${planter.id} ${flag.code}`, planter, flag, evidence };
}

/** All cases by urgency, then in the order of the cards (site, name). */
export function reviewOf(planters: readonly PlanterCard[]): ReviewList {
  const cases = planters.flatMap((planter) => planter.flags.map((flag) => caseOf(planter, flag)));
  const groups = ORDER.map((urgency) => {
    const mine = cases.filter((one) => !one.flag.quiet && one.flag.urgency === urgency);
    return { urgency, cases: mine, planters: new Set(mine.map((one) => one.planter.id)).size };
  }).filter((group) => group.cases.length > 0);
  return { groups, quiet: cases.filter((one) => one.flag.quiet) };
}
