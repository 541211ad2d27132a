/** What a site plan shows: planters in the order of their list, with where they stand. Pure. */

import type { OutboxEntry } from "../domain/outbox";
import type { Place, PlanterCard, SitePlan, Tap, Town, Urgency } from "../domain/planter";
import { apart, type Metres, metres, middleOf, shortNames } from "../domain/site-plan";
import { type Asked, groupsOf, openFlags, type PlanterRow } from "./planters-order";

/** Where an older server's card says nothing. */
export const placeOf = (card: PlanterCard): Place | null =>
  (card as Partial<PlanterCard>).place ?? null;

export interface PlacedRow {
  row: PlanterRow;
  /** What stands on its mark. */
  short: string;
  at: Metres;
  /** The planter nearest to it, of those shown. */
  nearest: { name: string; far_m: number } | null;
}

export interface SiteRow {
  id: string;
  name: string;
  count: number;
  /** How many are how urgent; the rest is calm. */
  urgent: [Urgency, number][];
  at: Metres | null;
}

export interface PlanView {
  /** The place all metres are counted from. */
  origin: Place | null;
  middle: Metres | null;
  placed: PlacedRow[];
  /** Of a site, all in use or stored that have no position. */
  unplaced: PlanterCard[];
  /** Placed planters of the site, also those outside the part that is shown. */
  count: number;
  taps: { tap: Tap; at: Metres }[];
}

export interface Part {
  /** A planter, and how far around it is shown [m]. */
  near: string;
  within: number;
}

const EVERYONE: Asked = { search: "", order: "urgency", show: "cared-for", site: "" };
const OPEN: Urgency[] = ["today", "this-week", "watch"];

function rowsOf(
  cards: readonly PlanterCard[],
  entries: ReadonlyMap<string, OutboxEntry[]>,
  today: string,
): PlanterRow[] {
  return groupsOf(cards, entries, EVERYONE, today)[0]?.rows ?? [];
}

function originOf(cards: readonly PlanterCard[]): Place | null {
  for (const card of cards) {
    const place = placeOf(card);
    if (place) return place;
  }
  return null;
}

/** Each row's nearest neighbour. */
function withNearest(rows: Omit<PlacedRow, "nearest">[]): PlacedRow[] {
  return rows.map((one) => {
    let nearest: PlacedRow["nearest"] = null;
    for (const other of rows) {
      const far_m = apart(one.at, other.at);
      if (other !== one && (!nearest || far_m < nearest.far_m))
        nearest = { name: other.row.card.name, far_m };
    }
    return { ...one, nearest };
  });
}

/** A site, or the part of it around a planter. */
export function siteView(
  site: { id: string; name: string },
  cards: readonly PlanterCard[],
  entries: ReadonlyMap<string, OutboxEntry[]>,
  town: Town | undefined,
  today: string,
  part: Part | null,
): PlanView {
  const own = cards.filter((card) => card.site.id === site.id);
  const rows = rowsOf(own, entries, today);
  const origin = originOf(rows.map((row) => row.card));
  const all = rows.flatMap((row) => {
    const place = placeOf(row.card);
    return origin && place ? [{ row, at: metres(origin, place) }] : [];
  });
  const short = shortNames(
    all.map(({ row }) => row.card.name),
    site.name,
  );
  const named = withNearest(all.map((one, index) => ({ ...one, short: short[index] ?? "" })));
  const center = part && named.find((one) => one.row.card.id === part.near);
  const inPart = (at: Metres) => !center || apart(center.at, at) <= (part?.within ?? 0);
  const taps = ((town as Partial<Town> | undefined)?.taps ?? []).flatMap((tap) =>
    origin && tap.site === site.id && tap.lat !== null && tap.lon !== null
      ? [{ tap, at: metres(origin, { lat: tap.lat, lon: tap.lon }) }]
      : [],
  );
  return {
    origin,
    middle: middleOf(named.map((one) => one.at)),
    placed: named.filter((one) => inPart(one.at)),
    unplaced: rows.map((row) => row.card).filter((card) => !placeOf(card)),
    count: named.length,
    taps: taps.filter((one) => inPart(one.at)),
  };
}

/** The whole town, site by site, the most urgent first. */
export function townView(
  sites: readonly { id: string; name: string }[],
  cards: readonly PlanterCard[],
): { origin: Place | null; middle: Metres | null; sites: SiteRow[] } {
  const standing = cards.filter((card) => card.status !== "retired");
  const origin = originOf(standing);
  const found = sites.flatMap((site): SiteRow[] => {
    const own = standing.filter((card) => card.site.id === site.id);
    if (!own.length) return [];
    const places = own.flatMap((card) => placeOf(card) ?? []);
    const worst = own.map((card) => openFlags(card)[0]?.urgency);
    const urgent = OPEN.map((one): [Urgency, number] => [
      one,
      worst.filter((other) => other === one).length,
    ]);
    return [
      {
        ...site,
        count: own.length,
        urgent: urgent.filter(([, count]) => count > 0),
        at: origin && middleOf(places.map((place) => metres(origin, place))),
      },
    ];
  });
  const rank = (one: SiteRow, urgency: Urgency) =>
    one.urgent.find(([other]) => other === urgency)?.[1] ?? 0;
  found.sort((one, other) => {
    for (const urgency of OPEN) {
      const more = rank(other, urgency) - rank(one, urgency);
      if (more) return more;
    }
    return one.name.localeCompare(other.name, undefined, { numeric: true });
  });
  return { origin, middle: middleOf(found.flatMap((one) => one.at ?? [])), sites: found };
}

/** How much around the first of them has to be shown so that these planters are [m]. */
export function partAround(rows: readonly PlacedRow[], ids: readonly string[]): Part | null {
  const some = rows.filter((one) => ids.includes(one.row.card.id));
  const [first] = some;
  if (!first) return null;
  const far = Math.max(...some.map((one) => apart(first.at, one.at)));
  return far < 1 ? null : { near: first.row.card.id, within: Math.ceil(far) };
}

/** The plan picture of a site or of the town, where there is one that is placed. */
export function placedPicture(town: Town | undefined, scope: string) {
  const plans = (town as Partial<Town> | undefined)?.plans ?? [];
  const found = plans.find((plan) => plan.scope === scope && plan.fit !== null);
  return found?.fit ? { plan: found as SitePlan, fit: found.fit } : null;
}
