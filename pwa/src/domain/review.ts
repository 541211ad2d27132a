/**
 * What the coordinator's review shows, from the planter cards: every flag that needs someone, by
 * what must be done and where. Planters of one site that ask for the same are one walk.
 */

import type { FlagCard, PlanterCard, Urgency, Visit } from "./planter";
import { URGENCIES } from "./since";

export interface ReviewCase {
  /** Planter and flag: the same case keeps its place on the screen while it changes. */
  key: string;
  planter: PlanterCard;
  flag: FlagCard;
  /** The very visits the flag rests on, newest first, as far as the card carries them. */
  evidence: Visit[];
}

export interface SiteCases {
  id: string;
  name: string;
  cases: ReviewCase[];
}

export interface ActGroup {
  act: string;
  /** The most urgent of its flags. */
  urgency: Urgency;
  sites: SiteCases[];
  planters: number;
}

export interface ReviewList {
  groups: ActGroup[];
  /** Flags somebody has decided on, with nothing new since: they need no decision now. */
  inHand: ReviewCase[];
  /** Flags a decision has quieted for now. */
  quiet: ReviewCase[];
}

export function caseKey(planter: string, flag: string): string {
  return `${planter} ${flag}`;
}

function caseOf(planter: PlanterCard, flag: FlagCard): ReviewCase {
  const evidence = [...planter.visits, ...planter.evidence]
    .filter((visit) => flag.records.includes(visit.record))
    .sort((one, other) => other.at.localeCompare(one.at));
  return { key: caseKey(planter.id, flag.code), planter, flag, evidence };
}

/** What must be done; a card of an older server says only what is the matter. */
function actOf(flag: FlagCard): string {
  return flag.act ?? flag.name;
}

const rank = (one: { urgency: Urgency }) => URGENCIES.indexOf(one.urgency);

/** How many planters these cases are at. */
export function countPlanters(cases: readonly ReviewCase[]): number {
  return new Set(cases.map((one) => one.planter.id)).size;
}

function sitesOf(cases: readonly ReviewCase[]): SiteCases[] {
  const sites = new Map<string, SiteCases>();
  for (const one of cases) {
    const { id, name } = one.planter.site;
    const there = sites.get(id) ?? { id, name, cases: [] };
    there.cases.push(one);
    sites.set(id, there);
  }
  // The most urgent first; the sort keeps the cards' order, which is by site and name.
  const found = [...sites.values()];
  for (const site of found) site.cases.sort((one, other) => rank(one.flag) - rank(other.flag));
  const first = (site: SiteCases) => Math.min(...site.cases.map((one) => rank(one.flag)));
  return found.sort((one, other) => first(one) - first(other));
}

function groupsOf(cases: readonly ReviewCase[]): ActGroup[] {
  const acts = new Map<string, ReviewCase[]>();
  for (const one of cases) acts.set(actOf(one.flag), [...(acts.get(actOf(one.flag)) ?? []), one]);
  return [...acts]
    .map(([act, mine]) => ({
      act,
      urgency: URGENCIES[Math.min(...mine.map((one) => rank(one.flag)))] ?? "watch",
      sites: sitesOf(mine),
      planters: countPlanters(mine),
    }))
    .sort((one, other) => rank(one) - rank(other) || other.planters - one.planters);
}

/** Every flag of these cards (by site and name): to decide, in hand, or kept quiet. */
export function reviewOf(planters: readonly PlanterCard[]): ReviewList {
  const cases = planters.flatMap((planter) => planter.flags.map((flag) => caseOf(planter, flag)));
  const loud = cases.filter((one) => !one.flag.quiet);
  const decided = ({ flag }: ReviewCase) => flag.decision !== null && !flag.decision.outdated;
  return {
    groups: groupsOf(loud.filter((one) => !decided(one))),
    inHand: loud.filter(decided).sort((one, other) => rank(one.flag) - rank(other.flag)),
    quiet: cases.filter((one) => one.flag.quiet),
  };
}

/** The cases of a group, in the order shown. */
export function casesOf(group: ActGroup): ReviewCase[] {
  return group.sites.flatMap((site) => site.cases);
}
