/** Which planters to show, and in which order: pure, so that five hundred are sorted at once. */

import type { OutboxEntry } from "../domain/outbox";
import { unknownTo } from "../domain/pending";
import type { FlagCard, PlanterCard, Urgency } from "../domain/planter";
import { emptySoon, freshWater } from "../domain/water";

export const ORDERS = ["urgency", "visit", "site", "name"] as const;
export type Order = (typeof ORDERS)[number];
/** Which planters are shown: those cared for, those that want somebody, those not sent, the rest. */
export const SHOWS = ["cared-for", "flagged", "unsent", "stored", "retired"] as const;
export type Show = (typeof SHOWS)[number];

/** What the list is looked through by. */
export interface Asked {
  search: string;
  order: Order;
  show: Show;
  /** A site's id; empty for all. */
  site: string;
}

export interface PlanterRow {
  card: PlanterCard;
  /** The most urgent flag nobody has set aside. */
  flag: FlagCard | null;
  more: number;
  /** Records of this phone the server has not confirmed. */
  unsent: number;
  /** The day it is likely empty, when that is near. */
  emptyOn: string | null;
  /** The day by which a new planting wants water from above. */
  aboveBy: string | null;
  /** One of them was refused. */
  needsYou: boolean;
}

export interface PlanterGroup {
  /** The site's name; null where the order is by urgency. */
  site: string | null;
  rows: PlanterRow[];
  /** All of them, also those not drawn yet. */
  count: number;
}

const RANK: Record<Urgency, number> = { today: 0, "this-week": 1, watch: 2 };
const CALM = 3;

export function openFlags(card: PlanterCard): FlagCard[] {
  return card.flags
    .filter((flag) => !flag.quiet)
    .sort((one, other) => RANK[one.urgency] - RANK[other.urgency]);
}

/** 0 for today, up to 3 for a planter nothing is the matter with. */
export function urgencyRank(card: PlanterCard): number {
  const first = openFlags(card)[0];
  return first ? RANK[first.urgency] : CALM;
}

/** "Yard 2" before "Yard 10". One collator: making one a comparison costs more than the sorting. */
const names = new Intl.Collator(undefined, { numeric: true });

function byName(one: PlanterCard, other: PlanterCard): number {
  return names.compare(one.name, other.name);
}

function order(one: string, other: string): number {
  return one < other ? -1 : one > other ? 1 : 0;
}

/** The longest unvisited first, a planter never visited before all. */
function byVisit(one: PlanterCard, other: PlanterCard): number {
  const at = (card: PlanterCard) => card.state.last_visit?.at ?? "";
  return order(at(one), at(other)) || byName(one, other);
}

function rowOf(card: PlanterCard, entries: readonly OutboxEntry[], today: string): PlanterRow {
  const flags = openFlags(card);
  const waiting = entries.filter((entry) => unknownTo(card, entry));
  const unsent = entries.filter((entry) => entry.state !== "sent" && !entry.fixed_by);
  return {
    card,
    flag: flags[0] ?? null,
    more: Math.max(0, flags.length - 1),
    unsent: unsent.length,
    emptyOn: emptySoon(freshWater(card, waiting), today),
    aboveBy: waiting.length
      ? null
      : ((card as Partial<PlanterCard>).establishment?.water_by ?? null),
    needsYou: unsent.some((entry) => entry.state === "needs-attention"),
  };
}

function matches(card: PlanterCard, words: string[]): boolean {
  const text = [card.name, card.site.name, card.code ?? "", ...(card.planting?.plants ?? [])]
    .join(" ")
    .toLowerCase();
  return words.every((word) => text.includes(word));
}

function isShown(row: PlanterRow, show: Show): boolean {
  const { status } = row.card;
  if (show === "retired") return status === "retired" || status === "lost";
  if (show === "stored") return status === "stored";
  if (status === "retired") return false;
  if (show === "flagged") return row.flag !== null;
  return show === "unsent" ? row.unsent > 0 : true;
}

const BY: Record<Exclude<Order, "site">, (one: PlanterRow, other: PlanterRow) => number> = {
  urgency: (one, other) =>
    urgencyRank(one.card) - urgencyRank(other.card) || byVisit(one.card, other.card),
  visit: (one, other) => byVisit(one.card, other.card),
  name: (one, other) => byName(one.card, other.card),
};

/** The planters that are asked for, grouped by site or in one list in the order asked for. */
export function groupsOf(
  cards: readonly PlanterCard[],
  entries: ReadonlyMap<string, OutboxEntry[]>,
  asked: Asked,
  today: string,
): PlanterGroup[] {
  const { search, order } = asked;
  const words = search.toLowerCase().replaceAll("-", "").split(/\s+/).filter(Boolean);
  const plain = search.toLowerCase().split(/\s+/).filter(Boolean);
  const wanted = cards.filter(
    (card) =>
      (!asked.site || card.site.id === asked.site) &&
      (matches(card, plain) || matches(card, words)),
  );
  const rows = wanted
    .map((card) => rowOf(card, entries.get(card.id) ?? [], today))
    .filter((row) => isShown(row, asked.show));
  if (order !== "site") {
    rows.sort(BY[order]);
    return rows.length ? [{ site: null, rows, count: rows.length }] : [];
  }
  const sites = new Map<string, PlanterRow[]>();
  for (const row of rows) {
    const site = row.card.site.name;
    sites.set(site, [...(sites.get(site) ?? []), row]);
  }
  return [...sites].map(([site, some]) => ({
    site,
    count: some.length,
    rows: some.sort((one, other) => byName(one.card, other.card)),
  }));
}

/** The next planter at the same site that wants somebody, the most urgent first. */
export function nextAtSite(
  cards: readonly PlanterCard[],
  here: PlanterCard,
  visited: ReadonlySet<string>,
): PlanterCard | null {
  const others = cards.filter(
    (card) =>
      card.site.id === here.site.id &&
      card.id !== here.id &&
      card.status === "in-use" &&
      !visited.has(card.id) &&
      urgencyRank(card) < CALM,
  );
  others.sort((one, other) => urgencyRank(one) - urgencyRank(other) || byVisit(one, other));
  return others[0] ?? null;
}
