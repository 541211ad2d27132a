/** Pictures for when there is no signal: small ones of planters, whole ones of plans, within a limit. */

import { beforeEach, expect, test } from "vitest";
import { closeDatabase } from "../src/store/database";
import { applyPull, MOST_PLAN_BYTES, type PullItem, pictureNames } from "../src/store/planters";
import { fetchPictures } from "../src/sync/pictures";
import type { Tools } from "../src/sync/sync";

const plan = (photo: string, size_bytes: number) => ({ photo, size_bytes });

function town(plans: unknown[] | undefined): PullItem {
  return { seq: 1, what: "town", town: { id: "town", plans } as never };
}

function planter(id: string, picture: string | null): PullItem {
  const card = { id, code: null, old_codes: [], picture, name: id, site: { id: "s", name: "S" } };
  return { seq: 2, what: "planter", planter: card as never };
}

/** A server that has these pictures; it writes down what it is asked for. */
function serving(there: string[], asked: string[]): Tools {
  const fetch = async (address: string) => {
    const [, sha = "", size = ""] = /photos\/(\w+)\?size=(\w+)/.exec(address) ?? [];
    asked.push(`${sha} ${size}`);
    if (!there.includes(sha)) return new Response("", { status: 404 });
    return new Response(new Uint8Array([1, 2, 3]), { headers: { "Content-Type": "image/jpeg" } });
  };
  return { fetch, now: () => 0, random: () => 0.5, uuid: () => "", client: "test" };
}

beforeEach(async () => {
  await closeDatabase();
  await new Promise<void>((done) => {
    indexedDB.deleteDatabase("potrounds").onsuccess = () => done();
  });
});

test("plan pictures come whole, planters' small, each once", async () => {
  await applyPull([town([plan("aa", 5000)]), planter("p-1", "bb")], "h.2", true);
  const asked: string[] = [];
  const tools = serving(["aa", "bb"], asked);
  await fetchPictures(tools);
  await fetchPictures(tools);
  expect(asked.sort()).toEqual(["aa full", "bb small"]);
  expect((await pictureNames()).kept.sort()).toEqual(["aa", "bb"]);
});

test("a replaced picture goes, and the new one comes", async () => {
  await applyPull([town([plan("aa", 5000)])], "h.2", true);
  const tools = serving(["aa", "cc"], []);
  await fetchPictures(tools);
  await applyPull([town([plan("cc", 5000)])], "h.3", false);
  await fetchPictures(tools);
  expect((await pictureNames()).kept).toEqual(["cc"]);
});

test("beyond the limit plans stay with the server; the others come all the same", async () => {
  const plans = [plan("aa", MOST_PLAN_BYTES - 10), plan("bb", 5000), plan("cc", 9)];
  await applyPull([town(plans), planter("p-1", "dd")], "h.2", true);
  const { wanted } = await pictureNames();
  expect([...wanted.keys()].sort()).toEqual(["aa", "cc", "dd"]);
});

test("a picture that is gone does not hold up the next, and an older server names none", async () => {
  await applyPull([town([plan("gone", 1), plan("aa", 1)])], "h.2", true);
  await fetchPictures(serving(["aa"], []));
  expect((await pictureNames()).kept).toEqual(["aa"]);
  await applyPull([town(undefined)], "h.3", false);
  expect((await pictureNames()).wanted.size).toBe(0);
});
