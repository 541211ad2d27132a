/** A server in a few lines that keeps R5-R8, with a place to go wrong before and after it commits. */

import type { Fetch } from "../src/api/client";
import { sha256 } from "../src/store/photos";
import type { Tools } from "../src/sync/sync";

interface Push {
  batch: string;
  device: string;
  sent_at: string;
  hello: { cursor: string | null; n_max: number; unsent: number };
  items: string[];
}
/** Turns the server's answer into what the phone gets: a lost line throws, a portal swaps the page. */
export type Fault = (answer: Response, request: { path: string; push: Push | null }) => Response;

export function json(body: unknown, status = 200, type = "application/json"): Response {
  return new Response(JSON.stringify(body), { status, headers: { "Content-Type": type } });
}

export function problem(
  status: number,
  slug: string,
  headers: Record<string, string> = {},
): Response {
  const body = { type: `/problems/${slug}`, title: slug, status, detail: `about ${slug}` };
  return new Response(JSON.stringify(body), {
    status,
    headers: { "Content-Type": "application/problem+json", ...headers },
  });
}

export class FakeServer {
  /** Texts by id, as they first came in. */
  records = new Map<string, string>();
  photos = new Map<string, Uint8Array>();
  pages: { items: unknown[]; cursor: string; more: boolean }[] = [];
  requests: { path: string; method: string; push: Push | null }[] = [];
  now = Date.parse("2026-10-20T08:42:10Z");
  /** Runs before anything is stored; an answer from here means that nothing was. */
  refuse: (request: { path: string; push: Push | null }) => Response | null = () => null;
  fault: Fault = (answer) => answer;
  outcome: (id: string) => Record<string, unknown> | null = () => null;
  private seq = 1000;

  fetch: Fetch = async (address, init = {}) => {
    const path = address.replace("/api/v1", "");
    const method = init.method ?? "GET";
    const push = path === "/sync/push" ? (JSON.parse(String(init.body)) as Push) : null;
    this.requests.push({ path, method, push });
    await Promise.resolve();
    const refusal = this.refuse({ path, push });
    if (refusal) return refusal;
    return this.fault(await this.answer(path, init, push), { path, push });
  };

  private async answer(path: string, init: RequestInit, push: Push | null): Promise<Response> {
    if (push) return this.takePush(push);
    if (path.startsWith("/sync/pull")) return this.takePull(path);
    const sha = /^\/photos\/(\w+)$/.exec(path)?.[1];
    if (sha) return this.takePhoto(sha, new Uint8Array(init.body as ArrayBuffer));
    return problem(404, "not-found");
  }

  private takePush(push: Push): Response {
    const results = push.items.map((text) => {
      const { id } = JSON.parse(text) as { id: string };
      const special = this.outcome(id);
      if (special) return { id, ...special };
      const first = this.records.get(id);
      this.seq += 1;
      if (first === undefined) this.records.set(id, text);
      if (first !== undefined && first !== text) return { id, outcome: "held", seq: this.seq };
      return { id, outcome: first === undefined ? "stored" : "duplicate", seq: this.seq };
    });
    const server_time = new Date(this.now).toISOString();
    const head = { proto: "sync/1", batch: push.batch, server_time, safe_to_forget: null };
    return json({ ...head, cursor: `h.${this.seq}`, results });
  }

  private takePull(path: string): Response {
    const since = new URL(path, "http://phone").searchParams.get("since");
    const at = since === null ? 0 : this.pages.findIndex((page) => page.cursor === since) + 1;
    const server_time = new Date(this.now).toISOString();
    const page = this.pages[at] ?? { items: [], cursor: since ?? "h.0", more: false };
    return json({ proto: "sync/1", server_time, ...page });
  }

  private async takePhoto(sha: string, bytes: Uint8Array): Promise<Response> {
    const named = [...this.records.values()].some((text) => text.includes(sha));
    if (!named) return problem(409, "record-first");
    if ((await sha256(new Uint8Array(bytes))) !== sha) return problem(422, "digest");
    this.photos.set(sha, bytes);
    return json({ sha256: sha, state: "here" }, 201);
  }
}

/** Tools over the fake server: a clock that stands unless moved, chance that is always a half. */
export function toolsFor(server: FakeServer, clock = { ms: Date.parse("2026-10-20T08:40:00Z") }) {
  let batch = 0;
  const tools: Tools = {
    fetch: (address, init) => server.fetch(address, init),
    now: () => clock.ms,
    random: () => 0.5,
    uuid: () => {
      batch += 1;
      return `00000000-0000-4000-8000-${String(batch).padStart(12, "0")}`;
    },
    client: "test",
  };
  return { tools, clock };
}
