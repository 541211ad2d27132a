/** The read model: what the server last said about planters, the town and this person's records. */

import type { OwnRecord, PlanterCard, RoundCard, Town } from "../domain/planter";
import { fold } from "../domain/tag-code";
import {
  changed,
  onChanged,
  planterRow,
  type StoreName,
  type Writing,
  withPhone,
  write,
} from "./database";

const SERVER_SAID: StoreName[] = ["planters", "town", "rounds", "own_records", "settings"];

/** One line of a pull. */
export interface PullItem {
  seq: number;
  what: string;
  planter?: PlanterCard | null;
  town?: Town | null;
  record?: OwnRecord | null;
  round?: RoundCard | null;
  id?: string | null;
}

/** Cards read in one go: a slow phone answers taps between one handful and the next. */
const AT_ONCE = 50;
/** One for all: making one takes far longer than comparing with it. */
const NAMES = new Intl.Collator(undefined, { numeric: true });

function inOrder(cards: PlanterCard[]): PlanterCard[] {
  return cards.sort(
    (one, other) =>
      NAMES.compare(one.site.name, other.site.name) || NAMES.compare(one.name, other.name),
  );
}

/** All planter cards, by site and name. */
export async function listPlanters(): Promise<PlanterCard[]> {
  const cards = await withPhone(async (db) => {
    const { store } = db.transaction("planters");
    const found: PlanterCard[] = [];
    let rows = await store.getAll(null, AT_ONCE);
    while (rows.length) {
      found.push(...rows.map((row) => row.card));
      if (rows.length < AT_ONCE) break;
      rows = await store.getAll(IDBKeyRange.lowerBound(rows.at(-1)?.id, true), AT_ONCE);
    }
    return found;
  });
  return inOrder(cards);
}

let needing: Promise<PlanterCard[]> | null = null;
onChanged((stores) => {
  if (stores.includes("planters")) needing = null;
});

/** The cards on which something needs a person, by site and name; kept until cards change. */
export async function listNeeding(): Promise<readonly PlanterCard[]> {
  const asked =
    needing ??
    withPhone((db) => db.getAllFromIndex("planters", "needs", 1)).then((rows) =>
      inOrder(rows.map((row) => row.card)),
    );
  needing = asked;
  asked.catch(() => {
    if (needing === asked) needing = null;
  });
  return asked;
}

/** How many planters this phone knows. */
export async function countPlanters(): Promise<number> {
  return withPhone((db) => db.count("planters"));
}

/** The cards of some planters, those that are here, by site and name. */
export async function readPlanters(ids: readonly string[]): Promise<PlanterCard[]> {
  if (!ids.length) return [];
  const rows = await withPhone(async (db) => {
    const { store } = db.transaction("planters");
    return Promise.all(ids.map((id) => store.get(id)));
  });
  return inOrder(rows.flatMap((row) => (row ? [row.card] : [])));
}

/** One planter's card, or undefined. */
export async function readPlanter(id: string): Promise<PlanterCard | undefined> {
  return (await withPhone((db) => db.get("planters", id)))?.card;
}

/** Every round this phone knows, by day and person. */
export async function listRounds(): Promise<RoundCard[]> {
  return withPhone((db) => db.getAll("rounds"));
}

/** The planter a tag belongs to, and whether the tag has been replaced since. */
export async function planterByCode(
  code: string,
): Promise<{ card: PlanterCard; replaced: boolean } | null> {
  const folded = fold(code);
  const row = await withPhone((db) => db.getFromIndex("planters", "codes", folded));
  return row ? { card: row.card, replaced: row.card.code !== folded } : null;
}

/** The town's card, or undefined before the first pull. */
export async function readTown(): Promise<Town | undefined> {
  return (await withPhone((db) => db.get("town", "town"))) as Town | undefined;
}

/** Plan pictures are kept up to so many bytes in all; the rest of them need signal. */
export const MOST_PLAN_BYTES = 24_000_000;

/** The pictures that this phone should have, each at its size, and the names of those it has. */
export async function pictureNames(): Promise<{
  wanted: Map<string, "small" | "full">;
  kept: string[];
}> {
  const [cards, town, kept] = await Promise.all([
    listPlanters(),
    readTown(),
    withPhone((db) => db.getAllKeys("pictures")),
  ]);
  const wanted = new Map<string, "small" | "full">();
  for (const card of cards) if (card.picture) wanted.set(card.picture, "small");
  let bytes = 0;
  for (const plan of (town as Partial<Town> | undefined)?.plans ?? []) {
    if (bytes + plan.size_bytes > MOST_PLAN_BYTES) continue;
    bytes += plan.size_bytes;
    wanted.set(plan.photo, "full");
  }
  return { wanted, kept };
}

/** Keeps a planter's picture, or a plan's. */
export async function keepPicture(sha: string, bytes: ArrayBuffer): Promise<void> {
  await withPhone((db) => db.put("pictures", { sha, bytes }));
  changed("pictures");
}

/** Drops a picture nothing shows any more. */
export async function dropPicture(sha: string): Promise<void> {
  await withPhone((db) => db.delete("pictures", sha));
}

/** This person's own records, newest first. */
export async function listOwnRecords(): Promise<OwnRecord[]> {
  const all = await withPhone((db) => db.getAll("own_records"));
  return all.sort((one, other) => other.seq - one.seq);
}

/** One own record as the server keeps it, or undefined. */
export async function readOwnRecord(id: string): Promise<OwnRecord | undefined> {
  return withPhone((db) => db.get("own_records", id));
}

/**
 * Puts one page of a pull and the cursor behind it in one transaction (R21). `fresh` is the first
 * page of a pull from the start: what was there before goes, in the same transaction.
 */
export async function applyPull(items: PullItem[], cursor: string, fresh: boolean): Promise<void> {
  await write([...SERVER_SAID, "photos", "pictures"], "relaxed", async (tx) => {
    if (fresh)
      await Promise.all([
        tx.objectStore("planters").clear(),
        tx.objectStore("rounds").clear(),
        tx.objectStore("own_records").clear(),
      ]);
    await Promise.all(items.map((item) => keep(tx, item)));
    await tx.objectStore("settings").put(cursor, "cursor");
  });
  changed(...SERVER_SAID, "photos", "pictures");
}

async function keep(tx: Writing, item: PullItem): Promise<unknown> {
  if (item.what === "planter" && item.planter) {
    return tx.objectStore("planters").put(planterRow(item.planter));
  }
  if (item.what === "town" && item.town) return tx.objectStore("town").put(item.town);
  if (item.what === "record" && item.record) return tx.objectStore("own_records").put(item.record);
  if (item.what === "round" && item.round) return tx.objectStore("rounds").put(item.round);
  if (item.what === "erased" && item.id)
    // For good (R24): what lies on this phone goes with it, also a copy its own person took.
    return Promise.all([
      tx.objectStore("photos").delete(item.id),
      tx.objectStore("pictures").delete(item.id),
    ]);
  if (item.what === "gone" && item.id)
    return Promise.all([
      tx.objectStore("planters").delete(item.id),
      tx.objectStore("rounds").delete(item.id),
    ]);
  return undefined; // newer than this app: it comes again after the update
}

/** Forgets what the server said: for signing out. The outbox stays untouched. */
export async function forgetTown(): Promise<void> {
  await write([...SERVER_SAID, "pictures"], "relaxed", async (tx) => {
    await tx.objectStore("pictures").clear();
    await tx.objectStore("planters").clear();
    await tx.objectStore("town").clear();
    await tx.objectStore("rounds").clear();
    await tx.objectStore("own_records").clear();
    await tx.objectStore("settings").put(null, "cursor");
  });
  changed(...SERVER_SAID);
}
