/**
 * One talk with the server, read from top to bottom: push the records, pull what is new, send photos
 * (R13: record first), and fetch the planters' pictures last. All it leans on comes in by `Tools`,
 * so tests decide network, clock and chance. It runs in the page, and in the worker when no page is
 * open.
 */

import { type Fetch, PATIENCE_MS, patiently } from "../api/client";
import type { OutboxEntry, Pause } from "../domain/outbox";
import type { Me } from "../domain/planter";
import { clockOffset } from "../domain/time";
import { listOutbox, mark, queueAgain } from "../store/outbox";
import { applyPull, type PullItem } from "../store/planters";
import { readSettings, writeSettings } from "../store/settings";
import { judge, type PushAnswer, pullAnswer, type Verdict } from "./answers";
import { silenceFor } from "./backoff";
import { sayHello } from "./hello";
import { sendPhotos } from "./photos";
import { fetchPictures } from "./pictures";

export interface Tools {
  fetch: Fetch;
  /** The phone's clock [ms since 1970]. */
  now: () => number;
  random: () => number;
  uuid: () => string;
  /** The app's version, for the server's log. */
  client: string;
}

export interface Talk {
  /** all: nothing waits any more. some: try again later. none: nobody has joined. */
  left: "all" | "some" | "none";
  /** The server answered at least once. */
  reached: boolean;
  paused: Pause | null;
}

const MOST_ITEMS = 50;
/** Well under the server's 256 kB, as the envelope and the quoting come on top. */
const MOST_TEXT_BYTES = 180_000;
/** Single items the server stumbled over before we believe that it is the server's trouble. */
const MOST_STUMBLES = 2;
const PULL_PAGE = 200;
const MOST_PAGES = 500;

/** How one stage of a talk ended. */
export type Stage =
  | { end: "done" }
  /** `cut`: nobody answered, so the rest of the talk is pointless too. */
  | { end: "later"; after_s: number | null; cut?: boolean }
  | { end: "paused"; pause: Pause };

const CUT = { end: "later", after_s: null, cut: true } as const;

/** Talks with the server once. Only one talk runs at a time in a browser; see triggers.ts. */
export async function syncOnce(tools: Tools): Promise<Talk> {
  const { me } = await readSettings();
  if (!me) return { left: "none", reached: false, paused: null };

  let pushed = await push(tools, me);
  if (stops(pushed)) return ended(tools, pushed, answered(pushed));
  const { cursor } = await readSettings();
  let pulled = await pull(tools);
  if (pulled.end === "other-history") {
    // Once a talk, and only for one who knew another history, or it would go round for ever.
    await queueAgain();
    if (cursor !== null) pushed = await push(tools, me);
    if (stops(pushed)) return ended(tools, pushed, answered(pushed));
    pulled = await pull(tools);
  }
  if (pulled.end === "other-history") pulled = { end: "later", after_s: null };
  if (stops(pulled)) return ended(tools, pulled, answered(pulled));
  const photos = await sendPhotos(tools, me.person.id);
  await sayHello(tools);

  if (photos.end === "done") await fetchPictures(tools);

  const worst = [pushed, photos, pulled].find((stage) => stage.end !== "done") ?? photos;
  return ended(tools, worst, true);
}

function stops(stage: Stage): boolean {
  return stage.end === "paused" || (stage.end === "later" && stage.cut === true);
}

/** A refusal is an answer too: the line is there. */
function answered(stage: Stage): boolean {
  return stage.end === "paused" || (stage.end === "later" && stage.after_s !== null);
}

async function ended(tools: Tools, stage: Stage, reached: boolean): Promise<Talk> {
  const paused = stage.end === "paused" ? stage.pause : null;
  const wait = stage.end === "later" && stage.after_s !== null ? stage.after_s : null;
  await writeSettings({
    paused,
    reached,
    silent_until: wait === null ? 0 : tools.now() + silenceFor(wait, tools.random),
  });
  return { left: stage.end === "done" ? "all" : "some", reached, paused };
}

/* ---- push ------------------------------------------------------------------------------- */

/** The next items to send: oldest first, due, and no more than fit one batch. */
function nextBatch(
  entries: OutboxEntry[],
  most: number,
  skip: ReadonlySet<string>,
  nowMs: number,
): OutboxEntry[] {
  const due = entries.filter(
    (entry) =>
      // "sending" was left behind by a talk that was cut off; sending it again is harmless (R5)
      (entry.state === "queued" || entry.state === "sending") &&
      entry.not_before <= nowMs &&
      !skip.has(entry.id),
  );
  const batch: OutboxEntry[] = [];
  let bytes = 0;
  for (const entry of due.slice(0, most)) {
    bytes += new TextEncoder().encode(entry.text).length;
    if (batch.length && bytes > MOST_TEXT_BYTES) break;
    batch.push(entry);
  }
  return batch;
}

/** What a push remembers from one batch to the next. */
interface Run {
  /** Items that wait although they were sent: not again in this talk. */
  skip: Set<string>;
  /** How many items the next batch may hold. */
  most: number;
  stumbles: number;
  /** Something got through, so the server is well. */
  anything: boolean;
}

async function push(tools: Tools, me: Me): Promise<Stage> {
  const run: Run = { skip: new Set(), most: MOST_ITEMS, stumbles: 0, anything: false };
  for (;;) {
    const mine = (await listOutbox()).filter((entry) => entry.person === me.person.id);
    const batch = nextBatch(mine, run.most, run.skip, tools.now());
    if (!batch.length) return run.skip.size ? { end: "later", after_s: null } : { end: "done" };
    const ids = batch.map((entry) => entry.id);
    await mark(ids, () => ({ state: "sending" }));
    const unsent = mine.filter((entry) => entry.state !== "sent").length;
    const verdict = await sendBatch(tools, batch, unsent);
    const end = await afterBatch(tools, run, ids, verdict);
    if (end) return end;
  }
}

/** Marks the batch's items by the verdict. A stage means that this push is over. */
async function afterBatch(
  tools: Tools,
  run: Run,
  ids: string[],
  verdict: Verdict,
): Promise<Stage | null> {
  if (verdict.kind === "answer") {
    for (const id of await takeResults(tools, ids, verdict.answer)) run.skip.add(id);
    run.anything = true;
    run.most = Math.min(MOST_ITEMS, run.most * 2);
    return null;
  }
  const alone = ids.length === 1;
  if (verdict.kind === "unreadable" || (verdict.kind === "halve" && alone)) {
    await mark(ids, () => ({ state: "needs-attention", problem: verdict.problem }));
    run.most = MOST_ITEMS;
    return null;
  }
  await mark(ids, () => ({ state: "queued" }));
  if (verdict.kind === "pause") return { end: "paused", pause: verdict.pause };
  if (verdict.kind === "retry") return { ...CUT, after_s: verdict.after_s };
  run.most = alone ? MOST_ITEMS : Math.ceil(ids.length / 2);
  if (!alone) return null;
  for (const id of ids) run.skip.add(id);
  run.stumbles += 1;
  return run.stumbles >= MOST_STUMBLES && !run.anything ? CUT : null;
}

async function sendBatch(tools: Tools, batch: OutboxEntry[], unsent: number): Promise<Verdict> {
  const settings = await readSettings();
  const id = tools.uuid();
  const sentMs = tools.now();
  try {
    return await patiently(PATIENCE_MS, async (signal) => {
      const response = await tools.fetch("/api/v1/sync/push", {
        method: "POST",
        redirect: "error",
        signal,
        headers: { "Content-Type": "application/json", Accept: "application/json" },
        body: JSON.stringify({
          batch: id,
          device: settings.device,
          client: tools.client,
          sent_at: new Date(sentMs).toISOString(),
          hello: { cursor: settings.cursor, n_max: settings.n, unsent },
          items: batch.map((entry) => entry.text),
        }),
      });
      const verdict = await judge(response, id, tools.now());
      if (verdict.kind === "answer") await setClock(tools, verdict.answer.server_time, sentMs);
      return verdict;
    });
  } catch {
    return { kind: "retry", after_s: null };
  }
}

/** Marks each item by the server's word for it. Returns the ids that still wait. */
async function takeResults(tools: Tools, ids: string[], answer: PushAnswer): Promise<string[]> {
  const results = new Map(answer.results.map((result) => [result.id, result]));
  const waiting: string[] = [];
  await mark(ids, (entry) => {
    const result = results.get(entry.id);
    switch (result?.outcome) {
      case "stored":
      case "duplicate":
      case "held":
        return {
          state: "sent",
          outcome: result.outcome,
          seq: result.seq ?? null,
          note: result.note ?? null,
          confirmed_at: answer.server_time,
          problem: null,
        };
      case "rejected":
        return {
          state: "needs-attention",
          problem: { type: "", title: "", detail: "", ...result.problem, status: 422 },
        };
      default: {
        // "later", an item the answer forgot, or a word newer than this app: it stays ours
        waiting.push(entry.id);
        const seconds = result?.retry_after ?? 0;
        return { state: "queued", not_before: tools.now() + silenceFor(seconds, tools.random) };
      }
    }
  });
  return waiting;
}

async function setClock(tools: Tools, serverTime: string, sentMs: number): Promise<void> {
  const offset = clockOffset(serverTime, sentMs, tools.now());
  await writeSettings({
    last_answer: serverTime,
    ...(offset === null ? {} : { clock_offset_ms: offset }),
  });
}

/* ---- pull ------------------------------------------------------------------------------- */

async function pull(tools: Tools): Promise<Stage | { end: "other-history" }> {
  let restarted = false;
  for (let page = 0; page < MOST_PAGES; page += 1) {
    const { cursor } = await readSettings();
    const verdict = await pullPage(tools, cursor);
    if (verdict.end === "restart") {
      // Starting again is always allowed, but once a talk, or it would go round for ever.
      if (restarted || cursor === null) return { end: "later", after_s: null };
      restarted = true;
      await writeSettings({ cursor: null });
    } else if (verdict.end !== "more") {
      return verdict;
    }
  }
  return { end: "later", after_s: null };
}

async function pullPage(
  tools: Tools,
  cursor: string | null,
): Promise<Stage | { end: "more" } | { end: "restart" } | { end: "other-history" }> {
  const since = cursor === null ? "" : `since=${encodeURIComponent(cursor)}&`;
  const sentMs = tools.now();
  try {
    return await patiently(PATIENCE_MS, async (signal) => {
      const response = await tools.fetch(`/api/v1/sync/pull?${since}limit=${PULL_PAGE}`, {
        redirect: "error",
        signal,
        headers: { Accept: "application/json" },
      });
      const answer = await pullAnswer(response);
      if (!answer) return refusedPull(tools, response);
      await applyPull(answer.items as PullItem[], answer.cursor, cursor === null);
      await setClock(tools, answer.server_time, sentMs);
      // The same cursor again would be the same page again.
      return { end: answer.more && answer.cursor !== cursor ? "more" : "done" };
    });
  } catch {
    return CUT;
  }
}

async function refusedPull(tools: Tools, response: Response) {
  const verdict = await judge(response, "", tools.now());
  if (verdict.kind === "pause") return { end: "paused" as const, pause: verdict.pause };
  if (response.status === 409) return { end: "other-history" as const };
  if (verdict.kind === "halve") return { end: "restart" as const };
  return { ...CUT, after_s: verdict.kind === "retry" ? verdict.after_s : null };
}
