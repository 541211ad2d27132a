/** At the end of a talk the phone says what it still holds, so that somebody can ask after it. */

import { beforeEach, expect, test } from "vitest";
import { listOutbox, mark } from "../src/store/outbox";
import { syncOnce } from "../src/sync/sync";
import { FakeServer, json, problem, toolsFor } from "./fake-server";
import { checkIns, joined } from "./phone";

let server: FakeServer;
let phone: ReturnType<typeof toolsFor>;
let said: Record<string, unknown>[];
let answer: () => Response;

beforeEach(async () => {
  server = new FakeServer();
  phone = toolsFor(server);
  said = [];
  answer = () => json({ server_time: "2026-10-20T08:42:10Z" });
  const send = server.fetch;
  phone.tools.fetch = async (address, init) => {
    if (!address.endsWith("/sync/hello")) return send(address, init);
    said.push(JSON.parse(String(init?.body)));
    return answer();
  };
  await joined();
});

test("once for each change, and not again while nothing changes", async () => {
  await checkIns(2);
  await syncOnce(phone.tools);
  await syncOnce(phone.tools);
  expect(said).toEqual([{ n_max: 2, unsent: 0, photos: 0, oldest_s: null, mended: [] }]);
  await checkIns(1);
  await syncOnce(phone.tools);
  expect(said[1]).toMatchObject({ n_max: 3, unsent: 0 });
});

test("what the server refused stays here, and is told with its age", async () => {
  const [id] = await checkIns(1);
  await mark([id ?? ""], () => ({
    state: "needs-attention",
    saved_at: phone.tools.now() - 90_000,
  }));
  await syncOnce(phone.tools);
  expect(said).toEqual([{ n_max: 1, unsent: 1, photos: 0, oldest_s: 90, mended: [] }]);
});

test("a refused record that was put right is told as one that will not come", async () => {
  const [id] = await checkIns(2);
  await mark([id ?? ""], () => ({ state: "needs-attention", fixed_by: "another" }));
  await syncOnce(phone.tools);
  expect(said).toEqual([{ n_max: 2, unsent: 0, photos: 0, oldest_s: null, mended: [1] }]);
});

test("what another person left on this phone is told too", async () => {
  const [id] = await checkIns(1);
  await mark([id ?? ""], () => ({ person: "u-kofi" }));
  await syncOnce(phone.tools);
  expect(said[0]).toMatchObject({ unsent: 1 });
});

test("an older server, and one that does not answer, change nothing", async () => {
  const ids = await checkIns(1);
  answer = () => problem(404, "not-found");
  expect(await syncOnce(phone.tools)).toMatchObject({ left: "all", reached: true });
  answer = () => {
    throw new TypeError("gone");
  };
  expect(await syncOnce(phone.tools)).toMatchObject({ left: "all", reached: true });
  expect((await listOutbox()).map((entry) => [entry.id, entry.state])).toEqual([[ids[0], "sent"]]);
  expect(said).toHaveLength(2);
});
