/**
 * The phone's own store. IndexedDB schema and upgrades, and the signal that something changed.
 * Upgrades only ever add stores; no database and no unsent record is deleted here (R23).
 */

import { type DBSchema, type IDBPDatabase, type IDBPTransaction, openDB } from "idb";
import type { KeptPhoto, OutboxEntry } from "../domain/outbox";
import type { OwnRecord, PlanterCard, RoundCard, Town } from "../domain/planter";
import type { KeptPlan } from "../domain/planting";
import type { KeptReview } from "../domain/since";

export interface Draft {
  key: string;
  planter: string;
  /** Whose form it is; nobody else on this phone sees it. */
  person: string | null;
  form: unknown;
  photos: { sha: string; bytes: ArrayBuffer }[];
  /** The phone's clock at the last change [ms since 1970]. */
  at: number;
}
export interface PlanterRow {
  id: string;
  codes: string[];
  card: PlanterCard;
  /** 1 where something needs a person: such cards are found without reading all of them. */
  needs?: 1;
}
export interface PhoneStores extends DBSchema {
  planters: { key: string; value: PlanterRow; indexes: { codes: string; needs: number } };
  /** The town's card under "town", plans of planting day and the review as last looked at. */
  town: { key: string; value: Town | KeptPlan | KeptReview };
  /** Rounds told or gone, of everybody, a fortnight back and all ahead. */
  rounds: { key: string; value: RoundCard; indexes: { day: string } };
  own_records: { key: string; value: OwnRecord; indexes: { planter: string } };
  outbox: { key: string; value: OutboxEntry; indexes: { state: string; planter: string } };
  photos: { key: string; value: KeptPhoto; indexes: { state: string; record: string } };
  /** Small pictures of the planters, so that a moved tag shows without signal (T5); plan pictures. */
  pictures: { key: string; value: { sha: string; bytes: ArrayBuffer } };
  drafts: { key: string; value: Draft };
  settings: { key: string; value: unknown };
}
export type StoreName =
  | "planters"
  | "town"
  | "rounds"
  | "own_records"
  | "outbox"
  | "photos"
  | "pictures"
  | "drafts"
  | "settings";
export type Phone = IDBPDatabase<PhoneStores>;

type Upgrading = IDBPTransaction<PhoneStores, StoreName[], "versionchange">;

/** open: usable. blocked: another tab holds an old version. old: this tab is the old version. */
export type StoreHealth = "open" | "blocked" | "old";

const NAME = "potrounds";
const VERSION = 3;

let opening: Promise<Phone> | null = null;
let health: StoreHealth = "open";
const listeners = new Set<(stores: readonly StoreName[]) => void>();
const channel = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel(NAME);

if (channel) {
  channel.onmessage = (message: MessageEvent) => tell(message.data as StoreName[]);
  // In tests a waiting channel would keep the process alive.
  (channel as unknown as { unref?: () => void }).unref?.();
}

function tell(stores: readonly StoreName[]): void {
  for (const listener of [...listeners]) listener(stores);
}

/** Says to this tab, to the other tabs and to the worker that these stores hold something new. */
export function changed(...stores: StoreName[]): void {
  tell(stores);
  channel?.postMessage(stores);
}

/** Calls back after every change, whoever made it. Returns how to stop. */
export function onChanged(listener: (stores: readonly StoreName[]) => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** Whether the store can be used, and if not, why. */
export function storeHealth(): StoreHealth {
  return health;
}

function setHealth(now: StoreHealth): void {
  health = now;
  tell(["settings"]);
}

/** A card as it is kept. One from an older server may lack flags or establishment. */
export function planterRow(card: PlanterCard): PlanterRow {
  const { flags, establishment } = card as Partial<PlanterCard>;
  const codes = [...(card.code ? [card.code] : []), ...card.old_codes];
  const row: PlanterRow = { id: card.id, codes, card };
  return flags?.length || establishment ? { ...row, needs: 1 } : row;
}

async function upgrade(db: Phone, from: number, tx: Upgrading): Promise<void> {
  if (from < 1) {
    db.createObjectStore("planters", { keyPath: "id" }).createIndex("codes", "codes", {
      multiEntry: true,
    });
    db.createObjectStore("town", { keyPath: "id" });
    db.createObjectStore("own_records", { keyPath: "id" }).createIndex("planter", "planter");
    const outbox = db.createObjectStore("outbox", { keyPath: "id" });
    outbox.createIndex("state", "state");
    outbox.createIndex("planter", "planter");
    const photos = db.createObjectStore("photos", { keyPath: "sha" });
    photos.createIndex("state", "state");
    photos.createIndex("record", "record");
    db.createObjectStore("pictures", { keyPath: "sha" });
    db.createObjectStore("drafts", { keyPath: "key" });
    db.createObjectStore("settings");
  }
  if (from < 2) {
    db.createObjectStore("rounds", { keyPath: "id" }).createIndex("day", "day");
    // An app without this store has skipped the rounds, and the cursor is past them.
    if (from > 0) await tx.objectStore("settings").put(null, "cursor");
  }
  if (from < 3) {
    const planters = tx.objectStore("planters");
    planters.createIndex("needs", "needs");
    // Cards kept before do not say yet whether they need anybody, and there may be no signal now.
    let row = await planters.openCursor();
    while (row) {
      await row.update(planterRow(row.value.card));
      row = await row.continue();
    }
  }
}

/** The open database. A connection that died (Safari loses them) is opened anew at the next use. */
export function database(): Promise<Phone> {
  opening ??= openDB<PhoneStores>(NAME, VERSION, {
    upgrade: (db, from, _to, tx) => upgrade(db, from, tx),
    blocked: () => setHealth("blocked"),
    blocking: (_current, _blocked, event) => {
      // A newer version wants in: let go at once, or it waits for ever.
      (event.target as IDBDatabase).close();
      opening = null;
      setHealth("old");
    },
    terminated: () => {
      opening = null;
    },
  }).then(
    (db) => {
      if (health === "blocked") setHealth("open");
      return db;
    },
    (error: unknown) => {
      opening = null;
      throw error;
    },
  );
  return opening;
}

/** Runs `work` on the database and once more if the connection turns out to be dead (F19). */
export async function withPhone<T>(work: (db: Phone) => Promise<T>): Promise<T> {
  try {
    return await work(await database());
  } catch (error) {
    if (!(error instanceof DOMException) || error.name !== "InvalidStateError") throw error;
    opening = null;
    return work(await database());
  }
}

export type Writing = IDBPTransaction<PhoneStores, StoreName[], "readwrite">;

/**
 * One write transaction: all of it or nothing. `work` awaits nothing but this transaction. Durable
 * work waits for the disk, so that "saved" may be said after it (R25).
 */
export async function write<T>(
  stores: StoreName[],
  durability: "strict" | "relaxed",
  work: (tx: Writing) => Promise<T>,
): Promise<T> {
  return withPhone(async (db) => {
    const tx = db.transaction(stores, "readwrite", { durability });
    try {
      const value = await work(tx);
      await tx.done;
      return value;
    } catch (error) {
      const why = tx.error ?? error; // a full disk stands on the transaction, not on the request
      try {
        tx.abort();
      } catch {
        // it had ended already
      }
      await tx.done.catch(() => undefined);
      throw why;
    }
  });
}

/** Closes the connection: for tests, and before the page goes away for good. */
export async function closeDatabase(): Promise<void> {
  const open = opening;
  opening = null;
  (await open)?.close();
}
