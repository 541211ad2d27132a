/**
 * The outbox: append, list, mark. Nothing in this file deletes unsent work; the one deletion is
 * `discard`, which a person confirms by typing (R14).
 */

import type { FreshPhoto, KeptPhoto, OutboxEntry } from "../domain/outbox";
import type { Me } from "../domain/planter";
import type { Frozen, Pen } from "../domain/records";
import { changed, type Writing, withPhone, write } from "./database";
import { draftsKept } from "./drafts";
import { sha256 } from "./photos";
import { newDeviceId } from "./settings";

/** The phone's storage is full: the record was not kept, and the screen must say so. */
export class StoreFull extends Error {}
/** Nobody has joined on this phone, so nobody can be the author of a record. */
export class NobodyJoined extends Error {}

export interface Appended {
  entry: OutboxEntry;
  /** Photos that could not be read back as they were written. */
  lost_photos: string[];
}
export interface AppendOptions {
  /** Key of the draft this record came from; it goes in the same transaction. */
  draft?: string;
  /** A refused record this one puts right. */
  fixes?: string;
  now?: Date;
}

function entryOf(frozen: Frozen, me: Me, photos: FreshPhoto[], now: Date): OutboxEntry {
  return {
    id: frozen.id,
    kind: frozen.kind,
    planter: frozen.planter,
    person: me.person.id,
    by: me.person.name,
    n: frozen.n,
    wall: frozen.wall,
    saved_at: now.getTime(),
    text: frozen.text,
    body: frozen.body,
    photos: photos.map((photo) => photo.sha),
    state: "queued",
    outcome: null,
    note: null,
    seq: null,
    confirmed_at: null,
    not_before: 0,
    problem: null,
    fixed_by: null,
  };
}

function keptPhoto(photo: FreshPhoto, entry: OutboxEntry): KeptPhoto {
  return {
    sha: photo.sha,
    bytes: photo.bytes,
    record: entry.id,
    person: entry.person,
    state: "queued",
    tries: 0,
    not_before: 0,
    problem: null,
  };
}

/**
 * Keeps a record and its photos, in one strict transaction (R25). Returns only after `complete`
 * and after reading each photo back, so the caller may say "saved on this phone".
 */
export async function append(
  make: (pen: Pen) => Frozen,
  photos: FreshPhoto[],
  options: AppendOptions = {},
): Promise<Appended> {
  const now = options.now ?? new Date();
  if (options.draft) await draftsKept();
  const entry = await strictly((tx) => put(tx, make, photos, options, now));
  const lost = await unreadable(entry.photos);
  changed("outbox", "photos", "drafts");
  return { entry, lost_photos: lost };
}

/** Keeps many records in one strict transaction: all of them, or none. */
export async function appendAll(makes: readonly ((pen: Pen) => Frozen)[]): Promise<OutboxEntry[]> {
  const now = new Date();
  const entries = await strictly(async (tx) => {
    const { me, pen } = await penOf(tx, now);
    const made = makes.map((make, at) => entryOf(make({ ...pen, n: pen.n + at }), me, [], now));
    await keepNumber(tx, { ...pen, n: pen.n + made.length - 1 });
    await Promise.all(made.map((entry) => tx.objectStore("outbox").add(entry)));
    return made;
  });
  changed("outbox");
  return entries;
}

async function strictly<T>(work: (tx: Writing) => Promise<T>): Promise<T> {
  try {
    return await write(["outbox", "photos", "drafts", "settings"], "strict", work);
  } catch (error) {
    if (error instanceof DOMException && error.name === "QuotaExceededError") throw new StoreFull();
    throw error;
  }
}

/** Who writes on this phone, and with which number next. */
async function penOf(tx: Writing, at: Date): Promise<{ me: Me; pen: Pen }> {
  const settings = tx.objectStore("settings");
  const me = (await settings.get("me")) as Me | null | undefined;
  if (!me) throw new NobodyJoined();
  const pen: Pen = {
    device: ((await settings.get("device")) as string | undefined) ?? newDeviceId(),
    n: (((await settings.get("n")) as number | undefined) ?? 0) + 1,
    now: at,
    offset_min: -at.getTimezoneOffset(),
    random: (bytes) => crypto.getRandomValues(bytes),
  };
  return { me, pen };
}

async function keepNumber(tx: Writing, pen: Pen): Promise<void> {
  const settings = tx.objectStore("settings");
  await settings.put(pen.device, "device");
  await settings.put(pen.n, "n");
}

async function put(
  tx: Writing,
  make: (pen: Pen) => Frozen,
  photos: FreshPhoto[],
  options: AppendOptions,
  now: Date,
): Promise<OutboxEntry> {
  const outbox = tx.objectStore("outbox");
  const refused = options.fixes ? await outbox.get(options.fixes) : undefined;
  // A check-in put right days later was still seen at its visit.
  const at = refused?.kind === "check-in" ? new Date(refused.saved_at) : now;
  const { me, pen } = await penOf(tx, at);
  const made = entryOf(make(pen), me, photos, at);
  await keepNumber(tx, pen);
  await outbox.add(made);
  for (const photo of photos) await tx.objectStore("photos").put(keptPhoto(photo, made));
  if (options.draft) await tx.objectStore("drafts").delete(options.draft);
  if (refused) await outbox.put({ ...refused, fixed_by: made.id });
  return made;
}

async function unreadable(shas: string[]): Promise<string[]> {
  const lost: string[] = [];
  for (const sha of shas) {
    const kept = await withPhone((db) => db.get("photos", sha));
    if (!kept || (await sha256(kept.bytes)) !== sha) lost.push(sha);
  }
  return lost;
}

/** Every record of the outbox, oldest first. */
export async function listOutbox(): Promise<OutboxEntry[]> {
  const all = await withPhone((db) => db.getAll("outbox"));
  return all.sort((one, other) => one.saved_at - other.saved_at || one.n - other.n);
}

/** One record, or undefined. */
export async function readEntry(id: string): Promise<OutboxEntry | undefined> {
  return withPhone((db) => db.get("outbox", id));
}

/** The records made here about one planter, oldest first. */
export async function entriesFor(planter: string): Promise<OutboxEntry[]> {
  const some = await withPhone((db) => db.getAllFromIndex("outbox", "planter", planter));
  return some.sort((one, other) => one.saved_at - other.saved_at || one.n - other.n);
}

export interface Waiting {
  /** Records of the person who uses this phone now, not yet confirmed. */
  records: number;
  photos: number;
  /** Records the server refused. */
  attention: number;
  /** Unsent records of other people who signed out here and kept them. */
  others: number;
}

/** What has not been confirmed yet. */
export async function countWaiting(person: string | null): Promise<Waiting> {
  const [entries, photos] = await withPhone((db) =>
    Promise.all([db.getAll("outbox"), db.getAllFromIndex("photos", "state", "queued")]),
  );
  const unsent = entries.filter((entry) => entry.state !== "sent" && !entry.fixed_by);
  const mine = unsent.filter((entry) => entry.person === person);
  return {
    records: mine.filter((entry) => entry.state !== "needs-attention").length,
    photos: photos.filter((photo) => photo.person === person).length,
    attention: mine.filter((entry) => entry.state === "needs-attention").length,
    others: unsent.length - mine.length,
  };
}

/** The server takes so many numbers at once. */
const MOST_MENDED = 200;

/**
 * What this phone still holds of anybody's, when the oldest was saved [its own clock, ms], and the
 * numbers of refused records that a later one put right: those will never come.
 */
export async function countHeld(): Promise<{
  records: number;
  photos: number;
  oldest: number | null;
  mended: number[];
}> {
  const [entries, photos] = await withPhone((db) =>
    Promise.all([db.getAll("outbox"), db.countFromIndex("photos", "state", "queued")]),
  );
  const unsent = entries.filter((entry) => entry.state !== "sent" && !entry.fixed_by);
  const oldest = unsent.length ? Math.min(...unsent.map((entry) => entry.saved_at)) : null;
  const mended = entries.filter((entry) => entry.fixed_by).map((entry) => entry.n);
  return { records: unsent.length, photos, oldest, mended: mended.slice(-MOST_MENDED) };
}

/** Changes some entries in one transaction; an entry already sent is never taken back. */
export async function mark(
  ids: readonly string[],
  change: (entry: OutboxEntry) => Partial<OutboxEntry>,
): Promise<void> {
  if (!ids.length) return;
  await write(["outbox"], "strict", async (tx) => {
    const outbox = tx.objectStore("outbox");
    for (const id of ids) {
      const entry = await outbox.get(id);
      if (entry && entry.state !== "sent") await outbox.put({ ...entry, ...change(entry) });
    }
  });
  changed("outbox");
}

/**
 * The server is another one than we sent to: restored from a copy, it may lack what it had
 * confirmed. Everything confirmed and still here is queued once more and the pull begins anew, in
 * one transaction (R19). What the server has already comes back as a duplicate.
 */
export async function queueAgain(): Promise<void> {
  await write(["outbox", "photos", "settings"], "strict", async (tx) => {
    const outbox = tx.objectStore("outbox");
    for (const entry of await outbox.index("state").getAll("sent")) {
      await outbox.put({ ...entry, state: "queued", confirmed_at: null, not_before: 0 });
    }
    const photos = tx.objectStore("photos");
    for (const photo of await photos.index("state").getAll("sent")) {
      await photos.put({ ...photo, state: "queued", tries: 0, not_before: 0 });
    }
    await tx.objectStore("settings").put(null, "cursor");
  });
  changed("outbox", "photos", "settings");
}

/** Throws one refused record and its photos away. The screen has asked, and a word was typed. */
export async function discard(id: string): Promise<void> {
  await write(["outbox", "photos"], "strict", async (tx) => {
    const entry = await tx.objectStore("outbox").get(id);
    if (entry?.state !== "needs-attention") return;
    await tx.objectStore("outbox").delete(id);
    for (const sha of entry.photos) await tx.objectStore("photos").delete(sha);
  });
  changed("outbox", "photos");
}
