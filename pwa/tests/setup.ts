import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { beforeEach } from "vitest";
import { closeDatabase } from "../src/store/database";

beforeEach(async () => {
  await closeDatabase();
  globalThis.indexedDB = new IDBFactory();
});
