/** Pull and photos: the cursor moves with its rows (R21), a photo goes after its record (R13). */

import { deleteDB, openDB } from "idb";
import { beforeEach, describe, expect, test } from "vitest";
import type { PlanterCard } from "../src/domain/planter";
import { closeDatabase, withPhone } from "../src/store/database";
import { listOutbox } from "../src/store/outbox";
import { allPhotosDue, readPhoto } from "../src/store/photos";
import {
  applyPull,
  listNeeding,
  listPlanters,
  planterByCode,
  readPlanter,
} from "../src/store/planters";
import { readSettings } from "../src/store/settings";
import { syncOnce } from "../src/sync/sync";
import { FakeServer, problem, toolsFor } from "./fake-server";
import { aCheckIn, aPhoto, joined } from "./phone";

let server: FakeServer;
let phone: ReturnType<typeof toolsFor>;
const talk = () => syncOnce(phone.tools);

function aCard(id: string, extra: Partial<PlanterCard> = {}): PlanterCard {
  const site = { id: "s-1", name: "Library yard" };
  return { id, name: id, code: null, old_codes: [], site, ...extra } as PlanterCard;
}
function planterItem(seq: number, card: PlanterCard) {
  return { seq, what: "planter", planter: card };
}

beforeEach(async () => {
  server = new FakeServer();
  phone = toolsFor(server);
  await joined();
});

describe("pull", () => {
  test("pages until there is no more, and goes on from the cursor next time", async () => {
    server.pages = [
      { items: [planterItem(1, aCard("p-1"))], cursor: "h.1", more: true },
      { items: [planterItem(2, aCard("p-2"))], cursor: "h.2", more: false },
    ];
    await talk();
    expect((await listPlanters()).map((card) => card.id)).toEqual(["p-1", "p-2"]);
    expect((await readSettings()).cursor).toBe("h.2");
    server.pages.push({ items: [{ seq: 3, what: "gone", id: "p-1" }], cursor: "h.3", more: false });
    await talk();
    expect((await listPlanters()).map((card) => card.id)).toEqual(["p-2"]);
  });

  test("rows that cannot be kept leave the cursor where it was (R21)", async () => {
    await applyPull([planterItem(1, aCard("p-1"))], "h.1", false);
    // A card without an id cannot be put: the transaction as a whole must fall.
    const broken = { ...aCard("p-3"), id: undefined } as unknown as PlanterCard;
    const page = [planterItem(2, aCard("p-2")), planterItem(3, broken)];
    await expect(applyPull(page, "h.3", false)).rejects.toThrow();
    expect((await readSettings()).cursor).toBe("h.1");
    expect(await readPlanter("p-2")).toBeUndefined();
  });

  test("a pull from the start drops what the server no longer has", async () => {
    await applyPull([planterItem(1, aCard("p-old"))], "x.1", false);
    server.refuse = ({ path }) =>
      path.includes("since=x.1") ? problem(409, "other-history") : null;
    server.pages = [{ items: [planterItem(1, aCard("p-new"))], cursor: "h.1", more: false }];
    await talk();
    expect((await listPlanters()).map((card) => card.id)).toEqual(["p-new"]);
  });

  test("a restored server gets again what it had confirmed, photos too (R19)", async () => {
    await aCheckIn("a visit", [await aPhoto()]);
    expect((await talk()).left).toBe("all");
    expect(server.records.size).toBe(1);
    // Yesterday's copy: it has lost the record and the photo, and has another history.
    server.records.clear();
    server.photos.clear();
    await applyPull([], "h.1", false);
    server.refuse = ({ path }) =>
      path.includes("since=h.1") ? problem(409, "other-history") : null;
    server.pages = [{ items: [], cursor: "new.1", more: false }];
    expect((await talk()).left).toBe("all");
    expect([server.records.size, server.photos.size]).toEqual([1, 1]);
    expect((await listOutbox()).map((entry) => entry.state)).toEqual(["sent"]);
    expect((await readSettings()).cursor).toBe("new.1");
  });

  test("what the restored server still has is a duplicate, and nothing is asked in circles", async () => {
    await aCheckIn("a visit", [await aPhoto()]);
    await talk();
    await applyPull([], "h.1", false);
    server.refuse = ({ path }) => (path.includes("/pull") ? problem(409, "other-history") : null);
    expect((await talk()).left).toBe("some");
    expect(server.records.size).toBe(1);
    expect((await listOutbox()).map((entry) => entry.outcome)).toEqual(["duplicate"]);
    expect(server.requests.filter(({ path }) => path.includes("since=h.1"))).toHaveLength(1);
  });

  test("an erased photo goes from this phone with the next pull (R24)", async () => {
    const photo = await aPhoto();
    await aCheckIn("a visit", [photo]);
    await talk();
    expect(await readPhoto(photo.sha)).toBeDefined();
    server.pages = [
      { items: [{ seq: 9, what: "erased", id: photo.sha }], cursor: "h.9", more: false },
    ];
    expect((await talk()).left).toBe("all");
    expect(await readPhoto(photo.sha)).toBeUndefined();
    expect((await listOutbox()).map((entry) => entry.state)).toEqual(["sent"]);
  });

  test("a photo that was erased before it arrived is dropped, not refused (R24)", async () => {
    const photo = await aPhoto();
    await aCheckIn("a visit", [photo]);
    server.refuse = ({ path }) =>
      path.startsWith("/photos/") ? problem(410, "photo-removed") : null;
    expect((await talk()).left).toBe("all");
    expect(await readPhoto(photo.sha)).toBeUndefined();
  });

  test("a server that always says start again is not asked in circles", async () => {
    await applyPull([], "x.1", false);
    server.refuse = ({ path }) => (path.includes("/pull") ? problem(400, "bad-cursor") : null);
    expect((await talk()).left).toBe("some");
    expect(server.requests.filter(({ path }) => path.includes("/pull"))).toHaveLength(2);
  });

  test("a kind of row newer than this app is passed over", async () => {
    server.pages = [
      { items: [{ seq: 1, what: "letter", letter: {} }], cursor: "h.1", more: false },
    ];
    expect((await talk()).left).toBe("all");
    expect((await readSettings()).cursor).toBe("h.1");
  });

  test("a replaced tag's code still leads to its planter, and says so", async () => {
    const card = aCard("p-1", { code: "ABCD1234567", old_codes: ["01D12345678"] });
    await applyPull([planterItem(1, card)], "h.1", false);
    expect(await planterByCode("abcd-1234-567")).toMatchObject({ replaced: false });
    expect(await planterByCode("oLd1-2345-678")).toMatchObject({ replaced: true });
    expect(await planterByCode("00000000000")).toBeNull();
  });

  test("the server's clock is kept as a difference to the phone's (R12)", async () => {
    await talk();
    expect((await readSettings()).clock_offset_ms).toBe(130_000);
  });
});

describe("photos", () => {
  test("go only once their record is sent", async () => {
    const photo = await aPhoto();
    await aCheckIn("with photo", [photo]);
    server.outcome = () => ({ outcome: "later", retry_after: 60 });
    await talk();
    expect(server.requests.some(({ method }) => method === "PUT")).toBe(false);
    server.outcome = () => null;
    phone.clock.ms += 70_000;
    await talk();
    const order = server.requests.map(({ path, method }) => (method === "PUT" ? "photo" : path));
    expect(order.indexOf("photo")).toBeGreaterThan(order.lastIndexOf("/sync/push"));
    expect((await readPhoto(photo.sha))?.state).toBe("sent");
    expect(server.photos.get(photo.sha)).toEqual(new Uint8Array(photo.bytes));
  });

  test("one that is refused needs a person and does not hold up the next", async () => {
    const [bad, good] = [await aPhoto("bad"), await aPhoto("good")];
    await aCheckIn("two", [bad, good]);
    server.refuse = ({ path }) => (path.endsWith(bad.sha) ? problem(415, "photo-format") : null);
    await talk();
    expect((await readPhoto(bad.sha))?.state).toBe("needs-attention");
    expect((await readPhoto(good.sha))?.state).toBe("sent");
  });

  test("a portal's 200 is no receipt", async () => {
    const photo = await aPhoto();
    await aCheckIn("", [photo]);
    server.fault = (answer, { path }) =>
      path.startsWith("/photos") ? new Response("<html></html>", { status: 200 }) : answer;
    expect((await talk()).left).toBe("some");
    expect((await readPhoto(photo.sha))?.state).toBe("queued");
  });

  test("one that was cut off waits its turn, and goes at once when a person asks", async () => {
    const photo = await aPhoto();
    await aCheckIn("", [photo]);
    server.refuse = ({ path }) => {
      if (path.startsWith("/photos")) throw new TypeError("connection reset");
      return null;
    };
    await talk();
    server.refuse = () => null;
    await talk();
    expect(server.photos.size).toBe(0); // not due yet
    await allPhotosDue();
    await talk();
    expect((await readPhoto(photo.sha))?.state).toBe("sent");
    expect(server.photos.size).toBe(1);
  });

  test("bytes that changed on the phone are not sent under the old name (F24)", async () => {
    const photo = await aPhoto();
    await aCheckIn("", [photo]);
    await withPhone(async (db) => {
      const row = await db.get("photos", photo.sha);
      const bytes = new TextEncoder().encode("rot").buffer as ArrayBuffer;
      if (row) await db.put("photos", { ...row, bytes });
    });
    await talk();
    expect((await readPhoto(photo.sha))?.state).toBe("needs-attention");
    expect(server.photos.size).toBe(0);
  });
});

describe("cards that need somebody", () => {
  const flag = { code: "running_dry" } as PlanterCard["flags"][number];
  const ids = async () => (await listNeeding()).map((card) => card.id);

  test("are found without the others, and no more once nothing is up", async () => {
    const calm = aCard("p-1", { flags: [] });
    await applyPull(
      [planterItem(1, calm), planterItem(2, aCard("p-2", { flags: [flag] }))],
      "h.2",
      false,
    );
    expect(await ids()).toEqual(["p-2"]);
    await applyPull([planterItem(3, aCard("p-1", { flags: [flag] }))], "h.3", false);
    expect(await ids()).toEqual(["p-1", "p-2"]);
    await applyPull([planterItem(4, aCard("p-2", { flags: [] }))], "h.4", false);
    expect(await ids()).toEqual(["p-1"]);
  });

  test("all cards are read in handfuls, none lost and each once", async () => {
    const names = Array.from({ length: 121 }, (_, at) => `p-${at}`);
    await applyPull(
      names.map((name, at) => planterItem(at + 1, aCard(name))),
      "h.1",
      false,
    );
    expect((await listPlanters()).map((card) => card.id)).toEqual(names);
  });

  test("are known at once after an update of the app, without signal", async () => {
    await applyPull([planterItem(1, aCard("p-1", { flags: [flag], code: "AB" }))], "h.1", false);
    await closeDatabase();
    // As the version before kept it: no index, and rows that say nothing of it.
    await deleteDB("potrounds");
    const old = await openDB("potrounds", 2, {
      upgrade(db) {
        for (const name of ["town", "rounds", "own_records", "outbox", "photos"])
          db.createObjectStore(name, { keyPath: "id" });
        for (const name of ["pictures", "drafts", "settings"]) db.createObjectStore(name);
        db.createObjectStore("planters", { keyPath: "id" }).createIndex("codes", "codes", {
          multiEntry: true,
        });
      },
    });
    await old.put("planters", {
      id: "p-1",
      codes: ["AB"],
      card: aCard("p-1", { flags: [flag], code: "AB" }),
    });
    await old.put("planters", { id: "p-2", codes: [], card: aCard("p-2", { flags: [] }) });
    await old.put("settings", "h.7", "cursor");
    old.close();
    await applyPull([], "h.7", false);
    expect(await ids()).toEqual(["p-1"]);
    expect((await planterByCode("AB"))?.card.id).toBe("p-1");
    expect((await listPlanters()).map((card) => card.id)).toEqual(["p-1", "p-2"]);
  });
});
