/** Save on the phone (R1-R4, R14, R25): both or neither, frozen, numbered without gaps. */

import { beforeEach, describe, expect, test, vi } from "vitest";
import { newCheckIn, newCorrection } from "../src/domain/records";
import { closeDatabase, database, onChanged, withPhone } from "../src/store/database";
import { keepDraft, listDrafts, readDraft } from "../src/store/drafts";
import { outboxFile } from "../src/store/export";
import {
  append,
  countWaiting,
  discard,
  listOutbox,
  mark,
  NobodyJoined,
  readEntry,
  StoreFull,
} from "../src/store/outbox";
import { readPhoto, sha256 } from "../src/store/photos";
import { deviceId, readSettings, writeSettings } from "../src/store/settings";
import { aCheckIn, aPhoto, checkIns, joined } from "./phone";

beforeEach(() => joined());

describe("append", () => {
  test("freezes the text once; the parsed body is the same thing (R4)", async () => {
    const entry = await readEntry(await aCheckIn("two litres"));
    const record = JSON.parse(entry?.text ?? "{}");
    expect(record).toMatchObject({
      v: 1,
      id: entry?.id,
      kind: "check-in",
      planter: "p-library3",
      n: 1,
    });
    expect(record.body).toEqual(entry?.body);
    expect(record.device).toBe((await readSettings()).device);
    expect(record.wall).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/);
  });

  test("numbers records without a gap, in two tabs at once too (R2)", async () => {
    await Promise.all([checkIns(10), checkIns(10)]);
    const numbers = (await listOutbox()).map((entry) => entry.n).sort((a, b) => a - b);
    expect(numbers).toEqual(Array.from({ length: 20 }, (_, index) => index + 1));
    expect((await readSettings()).n).toBe(20);
  });

  test("keeps record and photo together, and the photo reads back equal (R25)", async () => {
    const photo = await aPhoto("leaf");
    const { entry, lost_photos } = await append(
      (pen) => newCheckIn(pen, "p-1", { photos: [photo.sha] }),
      [photo],
    );
    expect(lost_photos).toEqual([]);
    const kept = await readPhoto(photo.sha);
    expect(kept?.record).toBe(entry.id);
    expect(await sha256(kept?.bytes ?? new ArrayBuffer(0))).toBe(photo.sha);
  });

  test("a photo that cannot be kept takes the record down with it (F17)", async () => {
    const broken = { sha: undefined, bytes: new ArrayBuffer(1) } as never;
    await expect(append((pen) => newCheckIn(pen, "p-1", {}), [broken])).rejects.toThrow();
    expect(await listOutbox()).toEqual([]);
    expect((await readSettings()).n).toBe(0);
  });

  test("names a photo that reads back differently", async () => {
    const photo = await aPhoto("leaf");
    const false_name = { ...photo, sha: "0".repeat(64) };
    const { lost_photos } = await append((pen) => newCheckIn(pen, "p-1", {}), [false_name]);
    expect(lost_photos).toEqual(["0".repeat(64)]);
  });

  test("a full disk is said, and nothing counts as saved (F20)", async () => {
    const add = vi.spyOn(IDBObjectStore.prototype, "add").mockImplementation(() => {
      throw new DOMException("no room", "QuotaExceededError");
    });
    await expect(aCheckIn()).rejects.toBeInstanceOf(StoreFull);
    add.mockRestore();
    expect(await listOutbox()).toEqual([]);
    expect((await readSettings()).n).toBe(0);
  });

  test("nobody joined: nobody can be the author", async () => {
    await writeSettings({ me: null });
    await expect(aCheckIn()).rejects.toBeInstanceOf(NobodyJoined);
  });

  test("drops a draft that is still on its way when the record is saved", async () => {
    const kept = keepDraft("check-in:p-1", "p-1", { note: "the last letter" }, []);
    await append((pen) => newCheckIn(pen, "p-1", {}), [], { draft: "check-in:p-1" });
    await kept;
    expect(await readDraft("check-in:p-1")).toBeUndefined();
  });

  test("drops its draft in the same transaction", async () => {
    await keepDraft("check-in:p-1", "p-1", { level: 1 }, []);
    await append((pen) => newCheckIn(pen, "p-1", {}), [], { draft: "check-in:p-1" });
    expect(await listDrafts()).toEqual([]);
  });

  test("survives a connection that died meanwhile (F19)", async () => {
    (await database()).close();
    const id = await aCheckIn("after the connection was lost");
    await closeDatabase();
    expect((await readEntry(id))?.state).toBe("queued");
  });

  test("tells the screens, so that they read again", async () => {
    const seen: string[] = [];
    const stop = onChanged((stores) => seen.push(...stores));
    await aCheckIn();
    stop();
    expect(seen).toContain("outbox");
  });
});

describe("what happens to refused records (R14)", () => {
  test("a fix is a new record; the refused one stays and is no longer counted", async () => {
    const id = await aCheckIn();
    await mark([id], () => ({ state: "needs-attention" }));
    expect(await countWaiting("u-ines")).toMatchObject({ records: 0, attention: 1 });
    const { entry } = await append(
      (pen) => newCorrection(pen, "p-library3", { replaces: id, check_in: { level: 1 } }),
      [],
      { fixes: id },
    );
    expect(await readEntry(id)).toMatchObject({ state: "needs-attention", fixed_by: entry.id });
    expect(await countWaiting("u-ines")).toMatchObject({ records: 1, attention: 0 });
  });

  test("a check-in put right later keeps the time of its visit, under a new id and number", async () => {
    const visit = new Date("2026-10-18T08:00:00Z");
    const first = await append((pen) => newCheckIn(pen, "p-1", { litres_l: 900 }), [], {
      now: visit,
    });
    await mark([first.entry.id], () => ({ state: "needs-attention" }));
    const fix = await append((pen) => newCheckIn(pen, "p-1", { litres_l: 9 }), [], {
      fixes: first.entry.id,
      now: new Date("2026-10-20T08:00:00Z"),
    });
    expect(fix.entry.id).not.toBe(first.entry.id);
    expect(fix.entry.n).toBe(2);
    expect(Date.parse(fix.entry.wall)).toBe(visit.getTime());
  });

  test("only a refused record can be discarded, never one that waits or was sent", async () => {
    const photo = await aPhoto();
    const refused = await aCheckIn("refused", [photo]);
    const [queued, sent] = await checkIns(2);
    await mark([refused], () => ({ state: "needs-attention" }));
    await mark([sent as string], () => ({ state: "sent" }));
    for (const id of [refused, queued, sent]) await discard(id as string);
    expect((await listOutbox()).map((entry) => entry.id)).toEqual([queued, sent]);
    expect(await readPhoto(photo.sha)).toBeUndefined();
  });

  test("a sent record is never taken back to queued", async () => {
    const id = await aCheckIn();
    await mark([id], () => ({ state: "sent" }));
    await mark([id], () => ({ state: "queued" }));
    expect((await readEntry(id))?.state).toBe("sent");
  });

  test("the file holds every unsent text as frozen, with its photos (R30)", async () => {
    const photo = await aPhoto("leaf");
    const unsent = await aCheckIn("unsent", [photo]);
    const sent = await aCheckIn("sent");
    await mark([sent], () => ({ state: "sent" }));
    const file = await outboxFile();
    expect(file.records).toEqual([
      { id: unsent, state: "queued", person: "u-ines", text: (await readEntry(unsent))?.text },
    ]);
    expect(file.photos).toEqual([{ sha256: photo.sha, record: unsent, base64: btoa("leaf") }]);
  });
});

describe("who this phone is", () => {
  test("two who ask at once get one device id (R2)", async () => {
    await withPhone((db) => db.delete("settings", "device"));
    const [one, other] = await Promise.all([deviceId(), deviceId()]);
    expect(one).toBe(other);
    expect(one).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  });

  test("a draft is seen by its writer only", async () => {
    await keepDraft("check-in:p-1", "p-1", { note: "private" }, []);
    await joined("u-pilar", "Pilar");
    expect(await readDraft("check-in:p-1")).toBeUndefined();
    await joined();
    expect((await readDraft("check-in:p-1"))?.form).toEqual({ note: "private" });
  });
});
