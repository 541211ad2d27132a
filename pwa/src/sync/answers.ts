/** What an answer to a push means for the phone: the decision table R10 as one pure function. */

import { isType, problemOf, retryAfterSeconds } from "../api/client";
import type { components } from "../api/schema";
import type { Pause } from "../domain/outbox";
import type { Problem } from "../domain/planter";

export type PushAnswer = components["schemas"]["PushAnswer"];
export type PullAnswer = components["schemas"]["PullAnswer"];
export const PROTO = "sync/1";

export type Verdict =
  /** The server took each item and said so. */
  | { kind: "answer"; answer: PushAnswer }
  /** Nothing that counts as an answer (R9): everything stays queued, try later. */
  | { kind: "retry"; after_s: number | null }
  /** The batch as a whole is refused: send half of it; a single item needs a person. */
  | { kind: "halve"; problem: Problem }
  /** The server stumbled over something in the batch: halve it to get the others through (F43). */
  | { kind: "stumble" }
  /** This app speaks wrongly: every item of the batch needs a person. */
  | { kind: "unreadable"; problem: Problem }
  /** Sending makes no sense until somebody does something. Recording goes on. */
  | { kind: "pause"; pause: Pause };

function plain(status: number, type: string): Problem {
  return { type, title: "", status, detail: "" };
}

/** True only for our own answer to our own batch (R9); a cut body throws while parsing. */
async function pushAnswer(response: Response, batch: string): Promise<PushAnswer | null> {
  if (response.status !== 200 || !isType(response, "application/json")) return null;
  try {
    const body = (await response.json()) as PushAnswer;
    const ours = body.proto === PROTO && body.batch === batch && Array.isArray(body.results);
    return ours ? body : null;
  } catch {
    return null;
  }
}

/** Reads the answer to a push. Whoever reads this table reads what can happen to a record. */
export async function judge(response: Response, batch: string, nowMs: number): Promise<Verdict> {
  const after = retryAfterSeconds(response.headers.get("Retry-After"), nowMs);
  const later: Verdict = { kind: "retry", after_s: null };
  switch (response.status) {
    case 200: {
      const answer = await pushAnswer(response, batch);
      return answer ? { kind: "answer", answer } : later;
    }
    case 400:
    case 422: {
      const problem = await problemOf(response); // a portal's 400 is no word about our records
      return problem ? { kind: "halve", problem } : later;
    }
    case 401:
      return (await problemOf(response)) ? { kind: "pause", pause: "join-again" } : later;
    case 403:
      return (await problemOf(response)) ? { kind: "pause", pause: "not-allowed" } : later;
    case 404:
    case 405:
    case 410:
      return { kind: "pause", pause: "address" };
    case 409:
      return { kind: "retry", after_s: after ?? 2 };
    case 413: // a proxy may say it too, in HTML
      return {
        kind: "halve",
        problem: (await problemOf(response)) ?? plain(413, "/problems/too-big"),
      };
    case 415: {
      const problem = await problemOf(response);
      return problem ? { kind: "unreadable", problem } : later;
    }
    case 429:
    case 503:
      return { kind: "retry", after_s: after };
    case 500:
      return { kind: "stumble" };
    default:
      return later;
  }
}

/** A pull's answer, or null when it is none. */
export async function pullAnswer(response: Response): Promise<PullAnswer | null> {
  if (response.status !== 200 || !isType(response, "application/json")) return null;
  try {
    const body = (await response.json()) as PullAnswer;
    const ours =
      body.proto === PROTO && Array.isArray(body.items) && typeof body.cursor === "string";
    return ours ? body : null;
  } catch {
    return null;
  }
}
