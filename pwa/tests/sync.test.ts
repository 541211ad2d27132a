/** The phone's half of R1-R14: whatever the network and the server do, nothing is lost or doubled. */

import { beforeEach, describe, expect, test } from "vitest";
import { listOutbox, mark, readEntry } from "../src/store/outbox";
import { readSettings } from "../src/store/settings";
import { syncOnce } from "../src/sync/sync";
import { FakeServer, json, problem, toolsFor } from "./fake-server";
import { aCheckIn, checkIns, joined, states } from "./phone";

let server: FakeServer;
let phone: ReturnType<typeof toolsFor>;
const talk = () => syncOnce(phone.tools);
const pushes = () => server.requests.flatMap((request) => request.push ?? []);
const PORTAL = "<!doctype html><title>Welcome to the station's network</title>";
const html = (status: number) =>
  new Response(PORTAL, { status, headers: { "Content-Type": "text/html" } });

beforeEach(async () => {
  server = new FakeServer();
  phone = toolsFor(server);
  await joined();
});

describe("what counts as an answer (R9)", () => {
  test("stored: sent, with the server's number and time", async () => {
    const id = await aCheckIn();
    expect(await talk()).toEqual({ left: "all", reached: true, paused: null });
    const entry = await readEntry(id);
    expect(entry).toMatchObject({ state: "sent", outcome: "stored", seq: 1001 });
    expect(entry?.confirmed_at).toBe("2026-10-20T08:42:10.000Z");
  });

  test("a lost response leaves the record queued; the second push finds a duplicate (F1)", async () => {
    const id = await aCheckIn();
    server.fault = () => {
      throw new TypeError("connection reset");
    };
    expect(await talk()).toMatchObject({ left: "some", reached: false });
    expect((await readEntry(id))?.state).toBe("queued");
    server.fault = (answer) => answer;
    await talk();
    expect(await readEntry(id)).toMatchObject({ state: "sent", outcome: "duplicate" });
    expect(server.records.size).toBe(1);
  });

  test("every sending carries the very text frozen at Save (R4)", async () => {
    const id = await aCheckIn("Grüße, 12 L 🌿");
    const frozen = (await readEntry(id))?.text;
    server.fault = () => {
      throw new TypeError("gone");
    };
    await talk();
    server.fault = (answer) => answer;
    await talk();
    expect(pushes().map((push) => push.items)).toEqual([[frozen], [frozen]]);
    expect(server.records.get(id)).toBe(frozen);
  });

  const NO_ANSWERS: [string, (body: string) => Response][] = [
    ["a portal's page with status 200 (F45)", () => html(200)],
    ["JSON of another site with status 200", () => json({ hello: "world" })],
    ["our answer under a foreign type", (body) => new Response(body, { status: 200 })],
    ["an answer to another batch", (body) => json({ ...JSON.parse(body), batch: "other" })],
    ["another protocol", (body) => json({ ...JSON.parse(body), proto: "sync/9" })],
    ["a page with status 401", () => html(401)],
    ["a page with status 400", () => html(400)],
    ["202", (body) => json(JSON.parse(body), 202)],
  ];
  test.each(NO_ANSWERS)("%s is none: queued, not paused", async (_name, swap) => {
    const id = await aCheckIn();
    const kept = await new FakeServer().fetch("/api/v1/sync/push", {
      method: "POST",
      body: JSON.stringify({ batch: "00000000-0000-4000-8000-000000000001", items: [] }),
    });
    const body = await kept.text();
    server.refuse = () => swap(body);
    expect(await talk()).toMatchObject({ left: "some", reached: false, paused: null });
    expect((await readEntry(id))?.state).toBe("queued");
  });

  test("a body cut anywhere is no answer, and the next push heals it (F5)", async () => {
    const id = await aCheckIn();
    const whole = await server
      .fetch("/api/v1/sync/push", {
        method: "POST",
        body: JSON.stringify({ batch: "b", items: [(await readEntry(id))?.text] }),
      })
      .then((answer) => answer.text());
    for (let cut = 0; cut < whole.length; cut += 20) {
      server.refuse = () =>
        new Response(whole.slice(0, cut), { headers: { "Content-Type": "application/json" } });
      await talk();
      expect((await readEntry(id))?.state).toBe("queued");
    }
    server.refuse = () => null;
    await talk();
    expect(await readEntry(id)).toMatchObject({ state: "sent", outcome: "duplicate" });
  });

  test("an item the answer forgets stays queued, and one it invents changes nothing", async () => {
    const [first, second] = await checkIns(2);
    server.fault = (answer, { push }) =>
      push
        ? json({
            proto: "sync/1",
            batch: push.batch,
            server_time: "2026-10-20T08:42:10Z",
            cursor: "h.1",
            safe_to_forget: null,
            results: [
              { id: first, outcome: "stored", seq: 1 },
              { id: "somebody-else", outcome: "stored", seq: 2 },
            ],
          })
        : answer;
    expect((await talk()).left).toBe("some");
    expect((await readEntry(first as string))?.state).toBe("sent");
    expect((await readEntry(second as string))?.state).toBe("queued");
    expect(await readEntry("somebody-else")).toBeUndefined();
  });
});

describe("what each answer does to the records (R10)", () => {
  test("one bad item never blocks the others (R11)", async () => {
    const ids = await checkIns(5);
    server.outcome = (id) =>
      id === ids[2]
        ? {
            outcome: "rejected",
            problem: { type: "/problems/level", title: "Level", detail: "no" },
          }
        : null;
    await talk();
    expect(await states()).toEqual(["sent", "sent", "needs-attention", "sent", "sent"]);
    expect((await readEntry(ids[2] as string))?.problem).toMatchObject({
      title: "Level",
      detail: "no",
    });
  });

  test("held counts as sent, later stays queued until its time", async () => {
    const [held, later] = await checkIns(2);
    server.outcome = (id) =>
      id === held ? { outcome: "held", seq: 5 } : { outcome: "later", retry_after: 60 };
    expect((await talk()).left).toBe("some");
    expect(await readEntry(held as string)).toMatchObject({ state: "sent", outcome: "held" });
    server.outcome = () => null;
    await talk();
    expect((await readEntry(later as string))?.state).toBe("queued");
    phone.clock.ms += 70_000;
    await talk();
    expect((await readEntry(later as string))?.state).toBe("sent");
  });

  test("401 pauses; recording goes on; joining again sends all", async () => {
    await aCheckIn();
    server.refuse = () => problem(401, "not-joined");
    expect(await talk()).toMatchObject({ left: "some", paused: "join-again" });
    await aCheckIn("made while paused");
    expect(await states()).toEqual(["queued", "queued"]);
    expect((await readSettings()).paused).toBe("join-again");
    server.refuse = () => null;
    await talk();
    expect(await states()).toEqual(["sent", "sent"]);
    expect((await readSettings()).paused).toBeNull();
  });

  test("403 and 404 keep everything and say why", async () => {
    await aCheckIn();
    server.refuse = () => problem(403, "other-device");
    expect((await talk()).paused).toBe("not-allowed");
    server.refuse = () => html(404);
    expect((await talk()).paused).toBe("address");
    expect(await states()).toEqual(["queued"]);
  });

  test("413 halves the batch until it fits (F41)", async () => {
    await checkIns(50);
    server.refuse = ({ push }) => (push && push.items.length > 7 ? html(413) : null);
    expect((await talk()).left).toBe("all");
    expect(server.records.size).toBe(50);
    expect(pushes()[0]?.items.length).toBe(50);
    expect(pushes()[1]?.items.length).toBe(25);
  });

  test("a single record too big even alone needs a person; the others go", async () => {
    const ids = await checkIns(4);
    const big = ids[1] as string;
    server.refuse = ({ push }) =>
      push?.items.some((text) => text.includes(big)) ? problem(413, "too-big") : null;
    await talk();
    expect(await states()).toEqual(["sent", "needs-attention", "sent", "sent"]);
  });

  test("422 for the whole batch finds the one bad item by halving", async () => {
    const ids = await checkIns(9);
    const bad = ids[4] as string;
    server.refuse = ({ push }) =>
      push?.items.some((text) => text.includes(bad)) ? problem(422, "shape") : null;
    await talk();
    expect((await listOutbox()).filter((entry) => entry.state === "sent")).toHaveLength(8);
    expect(await readEntry(bad)).toMatchObject({ state: "needs-attention" });
  });

  test("500 for one poisonous item: the other 49 arrive, it stays queued (F43)", async () => {
    const ids = await checkIns(50);
    const poison = ids[17] as string;
    server.refuse = ({ push }) =>
      push?.items.some((text) => text.includes(poison)) ? html(500) : null;
    expect((await talk()).left).toBe("some");
    expect(server.records.size).toBe(49);
    expect((await readEntry(poison))?.state).toBe("queued");
  });

  test("a server that answers 500 to everything is left alone soon", async () => {
    await checkIns(50);
    server.refuse = () => html(500);
    await talk();
    expect(server.requests.length).toBeLessThan(20);
    expect(new Set(await states())).toEqual(new Set(["queued"]));
  });

  test("502, 503 and 504 cost one request a talk (F44)", async () => {
    await checkIns(3);
    for (const status of [502, 503, 504]) {
      server.requests = [];
      server.refuse = () => html(status);
      await talk();
      expect(server.requests).toHaveLength(1);
    }
  });

  test.each([
    ["seconds", "120", 120],
    ["a date", new Date(Date.parse("2026-10-20T08:42:00Z")).toUTCString(), 120],
    ["far too long, capped at an hour", "999999", 3600],
  ])("429 with Retry-After as %s is obeyed (F42)", async (_name, value, seconds) => {
    await aCheckIn();
    server.refuse = () => problem(429, "slow", { "Retry-After": value });
    await talk();
    const silence = ((await readSettings()).silent_until - phone.clock.ms) / 1000;
    expect(silence).toBeGreaterThanOrEqual(seconds);
    expect(silence).toBeLessThanOrEqual(seconds * 1.1 + 1);
  });

  test("415 asks for a person", async () => {
    await aCheckIn();
    server.refuse = ({ push }) => (push ? problem(415, "json-only") : null);
    await talk();
    expect(await states()).toEqual(["needs-attention"]);
  });
});

describe("who sends what", () => {
  test("a talk cut off in the middle is taken up again", async () => {
    const id = await aCheckIn();
    await mark([id], () => ({ state: "sending" }));
    await talk();
    expect((await readEntry(id))?.state).toBe("sent");
  });

  test("somebody else's kept records are neither sent nor touched (F51)", async () => {
    const kept = await aCheckIn("by Ines");
    await joined("u-pilar", "Pilar");
    const own = await aCheckIn("by Pilar");
    await talk();
    expect((await readEntry(kept))?.state).toBe("queued");
    expect([...server.records.keys()]).toEqual([own]);
  });

  test("nobody joined: nothing is asked", async () => {
    const fresh = new FakeServer();
    const { writeSettings } = await import("../src/store/settings");
    await writeSettings({ me: null });
    expect((await syncOnce(toolsFor(fresh).tools)).left).toBe("none");
    expect(fresh.requests).toHaveLength(0);
  });

  test("the oldest go first, at most fifty a batch, with the whole count in the hello", async () => {
    const ids = await checkIns(60);
    await talk();
    expect(pushes().map((push) => push.items.length)).toEqual([50, 10]);
    expect(pushes()[0]?.hello).toMatchObject({ n_max: 60, unsent: 60 });
    const sent = pushes().flatMap((push) => push.items.map((text) => JSON.parse(text).id));
    expect(sent).toEqual(ids);
  });

  test("two tabs talking at once, without locks: each record arrives once (F48)", async () => {
    await checkIns(20);
    await Promise.all([talk(), talk()]);
    expect(server.records.size).toBe(20);
    expect(new Set(await states())).toEqual(new Set(["sent"]));
  });
});
