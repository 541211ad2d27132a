/** A phone whose app is newer than its store: nothing kept on it is lost (R23). */

import { IDBFactory } from "fake-indexeddb";
import { openDB } from "idb";
import { expect, test } from "vitest";
import { closeDatabase, database } from "../src/store/database";
import { listOutbox } from "../src/store/outbox";
import { readSettings } from "../src/store/settings";
import { aCheckIn, aPhoto, joined } from "./phone";

const INDEXES = {
  ...{ planters: [["codes", true]], town: [], own_records: [["planter", false]] },
  outbox: [
    ["state", false],
    ["planter", false],
  ],
  photos: [
    ["state", false],
    ["record", false],
  ],
  ...{ pictures: [], drafts: [], settings: [] },
} as Record<string, [string, boolean][]>;
const KEYS: Record<string, string | undefined> = {
  ...{ planters: "id", town: "id", own_records: "id", outbox: "id", photos: "sha" },
  ...{ pictures: "sha", drafts: "key", settings: undefined },
};

/** The store as version 1 had it, which had no rounds, with everything of another put in. */
async function asVersionOne(): Promise<void> {
  const now = await database();
  const rows = new Map<string, { keys: IDBValidKey[]; values: unknown[] }>();
  for (const name of Object.keys(KEYS)) {
    const store = now.transaction(name as "outbox").store;
    rows.set(name, { keys: await store.getAllKeys(), values: await store.getAll() });
  }
  await closeDatabase();
  globalThis.indexedDB = new IDBFactory();
  const old = await openDB("potrounds", 1, {
    upgrade(db) {
      for (const [name, keyPath] of Object.entries(KEYS)) {
        const store = db.createObjectStore(name, keyPath ? { keyPath } : undefined);
        for (const [index, multiEntry] of INDEXES[name] ?? [])
          store.createIndex(index, index, { multiEntry });
      }
    },
  });
  for (const [name, { keys, values }] of rows)
    for (const [at, value] of values.entries())
      await old.put(name, value, KEYS[name] ? undefined : (keys[at] as IDBValidKey));
  old.close();
}

test("a store without rounds gets them, keeps the outbox and asks for everything again", async () => {
  await joined();
  const first = await aCheckIn("unsent", [await aPhoto()]);
  const second = await aCheckIn("unsent as well");
  const before = await listOutbox();
  await (await database()).put("settings", "0000000042", "cursor");
  await (await database()).put("drafts", {
    ...{ key: "check-in p-1", planter: "p-1", person: "u-ines", form: {}, photos: [], at: 1 },
  });
  await asVersionOne();

  const after = await database();
  expect(after.version).toBe(3);
  expect(after.objectStoreNames).toContain("rounds");
  expect((await listOutbox()).map((entry) => entry.id)).toEqual([first, second]);
  expect(await listOutbox()).toEqual(before);
  expect(await after.count("photos")).toBe(1);
  expect(await after.count("drafts")).toBe(1);
  expect(await after.get("settings", "cursor")).toBeNull();
  const settings = await readSettings();
  expect([settings.me?.person.name, settings.n]).toEqual(["Ines", 2]);
  expect(JSON.parse((await listOutbox())[1]?.text ?? "{}").n).toBe(2);
  const third = await aCheckIn("after the upgrade"); // the numbers go on without a gap
  expect((await listOutbox()).find((entry) => entry.id === third)?.n).toBe(3);
});
