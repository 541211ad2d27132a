/** Typed calls to our own server, and what counts as an answer of it. No DOM: the worker uses it too. */

import type { components } from "./schema";

type Problem = components["schemas"]["Problem"];

/** Either what was asked for or what went wrong, never both. */
export type Answer<T> = { value: T; problem?: undefined } | { value?: undefined; problem: Problem };

export type Fetch = (address: string, init?: RequestInit) => Promise<Response>;

/** Give up after so long without an answer [ms]. */
export const PATIENCE_MS = 30_000;
const NO_ANSWER = "/problems/no-answer";

/** True when nothing that could be our server answered: no signal, a portal, a cut line. */
export function isNoAnswer(problem: Problem): boolean {
  return problem.type === NO_ANSWER;
}

/** The problem that stands for "no answer"; the screens have the words. */
export function noAnswer(): Problem {
  return { type: NO_ANSWER, title: "", status: 0, detail: "" };
}

/** True when a header says JSON of the given kind and not, say, a hotel's welcome page. */
export function isType(response: Response, type: string): boolean {
  return (response.headers.get("Content-Type") ?? "").split(";")[0]?.trim().toLowerCase() === type;
}

/** Runs `send` with a signal that aborts after `patience_ms`; body reading included. */
export async function patiently<T>(
  patience_ms: number,
  send: (signal: AbortSignal) => Promise<T>,
): Promise<T> {
  const control = new AbortController();
  const timer = setTimeout(() => control.abort(), patience_ms);
  try {
    return await send(control.signal);
  } finally {
    clearTimeout(timer);
  }
}

/** Reads problem+json; null when the body is not one, so a portal's page is never taken for ours. */
export async function problemOf(response: Response): Promise<Problem | null> {
  if (!isType(response, "application/problem+json")) return null;
  try {
    const body = (await response.json()) as Partial<Problem>;
    if (typeof body.type !== "string" || typeof body.title !== "string") return null;
    return {
      type: body.type,
      title: body.title,
      status: response.status,
      detail: body.detail ?? "",
      ...(body.errors ? { errors: body.errors } : {}),
    };
  } catch {
    return null;
  }
}

/** Seconds of a Retry-After header, given as seconds or as a date; null when there is none. */
export function retryAfterSeconds(value: string | null, nowMs: number): number | null {
  if (!value) return null;
  if (/^\s*\d+\s*$/.test(value)) return Number(value);
  const date = Date.parse(value);
  return Number.isFinite(date) ? Math.max(0, (date - nowMs) / 1000) : null;
}

export interface Ask {
  method?: "GET" | "POST" | "PATCH" | "PUT" | "DELETE";
  json?: unknown;
  /** A body that is not JSON, with its type. */
  text?: { body: string | Blob; type: string };
  headers?: Record<string, string>;
}

const CHANGE_HEADER = "Potrounds-Change";
const hearers = new Set<(number: number) => void>();

/** Calls back with the number of each change that an answer says it made; gives the way to stop. */
export function onChangeMade(hear: (number: number) => void): () => void {
  hearers.add(hear);
  return () => hearers.delete(hear);
}

function tellChange(response: Response): void {
  const number = Number(response.headers.get(CHANGE_HEADER));
  if (response.ok && number > 0) for (const hear of hearers) hear(number);
}

/** One call for online work at the desk. Never throws: no answer is a problem like any other. */
export async function ask<T>(path: string, how: Ask = {}, send: Fetch = fetch): Promise<Answer<T>> {
  const headers: Record<string, string> = { Accept: "application/json", ...how.headers };
  let body: string | Blob | undefined;
  if (how.json !== undefined) {
    headers["Content-Type"] = "application/json";
    body = JSON.stringify(how.json);
  } else if (how.text) {
    headers["Content-Type"] = how.text.type;
    body = how.text.body;
  }
  try {
    return await patiently(PATIENCE_MS, async (signal) => {
      const init: RequestInit = { method: how.method ?? "GET", headers, signal, redirect: "error" };
      const response = await send(`/api/v1${path}`, body === undefined ? init : { ...init, body });
      const answer = await read<T>(response);
      tellChange(response);
      return answer;
    });
  } catch {
    return { problem: noAnswer() };
  }
}

async function read<T>(response: Response): Promise<Answer<T>> {
  if (response.status === 204) return { value: undefined as T };
  if (isType(response, "application/json")) {
    const value = (await response.json()) as T;
    // A CSV import answers 422 with the same shape as a success: its caller looks at `errors`.
    if (response.ok || response.status === 422) return { value };
  }
  return { problem: (await problemOf(response)) ?? noAnswer() };
}
