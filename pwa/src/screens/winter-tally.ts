/** What the board counts and sorts: pure, from the planters' cards. */

import type { ListCard, ListName, ListStep, PlanterCard } from "../domain/planter";

export interface Tally {
  of: number;
  settled: number;
  unproven: number;
  underWay: number;
  notBegun: number;
}

export function listOf(card: PlanterCard, list: ListName): ListCard {
  return list === "start-up" ? card.lists.start_up : card.lists.winterization;
}

/** Proven in winter, done in spring. Unproven is neither. */
export function isSettled(card: PlanterCard, list: ListName): boolean {
  const { state } = listOf(card, list);
  return state === "proven" || state === "done";
}

export function tally(cards: readonly PlanterCard[], list: ListName): Tally {
  const states = cards.map((card) => listOf(card, list).state);
  const count = (...wanted: ListCard["state"][]) =>
    states.filter((state) => wanted.includes(state)).length;
  return {
    of: states.length,
    settled: count("proven", "done"),
    unproven: count("unproven"),
    underWay: count("under-way"),
    notBegun: count("not-begun"),
  };
}

/** Start-up while it is in season and winterization is not; else winterization. */
export function seasonList(cards: readonly PlanterCard[]): ListName {
  const active = (list: ListName) => cards.some((card) => listOf(card, list).active);
  return active("start-up") && !active("winterization") ? "start-up" : "winterization";
}

/** The step at which the plug was put away, the bag before the pull. */
function plugStep(card: PlanterCard): ListStep | undefined {
  const { steps } = card.lists.winterization;
  const at = (code: string) => steps.find((step) => step.code === code && step.plug_place);
  return at("bag-plug") ?? at("pull-plug");
}

export interface PlugKept {
  place: string | null;
  by: string | null;
  at: string | null;
}

/** Where the plug of a planter lies, and who put it there when. */
export function plugKept(card: PlanterCard): PlugKept {
  const step = plugStep(card);
  const { plug } = card.state;
  return {
    place: plug.state === "in" ? null : (plug.place ?? step?.plug_place ?? null),
    by: step?.by ?? plug.by,
    at: step?.at ?? plug.at,
  };
}

/** The planters by site, in the order they came. */
export function bySite(cards: readonly PlanterCard[]): [string, PlanterCard[]][] {
  const sites = new Map<string, PlanterCard[]>();
  for (const card of cards) {
    const there = sites.get(card.site.name);
    if (there) there.push(card);
    else sites.set(card.site.name, [card]);
  }
  return [...sites];
}

/** The planters whose plug is out, by the place it lies at; those without a word come first. */
export function byPlace(cards: readonly PlanterCard[]): [string | null, PlanterCard[]][] {
  const out = cards.filter((card) => card.state.plug.state !== "in");
  const places = new Map<string | null, PlanterCard[]>();
  for (const card of out) {
    const { place } = plugKept(card);
    places.set(place, [...(places.get(place) ?? []), card]);
  }
  return [...places].sort(([one], [other]) =>
    one === null ? -1 : other === null ? 1 : one.localeCompare(other, undefined, { numeric: true }),
  );
}
