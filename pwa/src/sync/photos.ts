/** Photos after their records (R13): raw bytes under the name of their hash, one at a time. */

import { patiently, problemOf, retryAfterSeconds } from "../api/client";
import type { KeptPhoto } from "../domain/outbox";
import type { Problem } from "../domain/planter";
import { forgetPhoto, markPhoto, photosToSend, sha256 } from "../store/photos";
import type { Stage, Tools } from "./sync";

const START_MS = 30_000;
/** A line slower than this makes no progress worth the name [bytes/ms = kB/s]. */
const SLOWEST = 3;
/** A photo altered on its way comes out right the second or third time, or never. */
const MOST_TRIES = 3;
const WAIT_MS = 60_000;
/** The server's word for a photo that was removed at someone's request. */
const ERASED = "/problems/photo-removed";

/** Sends what waits. One photo that cannot go never blocks the next. */
export async function sendPhotos(tools: Tools, person: string): Promise<Stage> {
  let left = false;
  for (const photo of await photosToSend(person, tools.now())) {
    const stage = await sendPhoto(tools, photo);
    if (stage.end === "paused") return stage;
    if (stage.end === "later" && (stage.cut || stage.after_s !== null)) return stage;
    if (stage.end === "later") left = true;
  }
  return left ? { end: "later", after_s: null } : { end: "done" };
}

async function sendPhoto(tools: Tools, photo: KeptPhoto): Promise<Stage> {
  if ((await sha256(photo.bytes)) !== photo.sha) {
    return refused(photo, { type: "/problems/photo-unreadable", title: "", status: 0, detail: "" });
  }
  let response: Response;
  try {
    response = await patiently(START_MS + photo.bytes.byteLength / SLOWEST, (signal) =>
      tools.fetch(`/api/v1/photos/${photo.sha}`, {
        method: "PUT",
        redirect: "error",
        signal,
        headers: { "Content-Type": "image/jpeg", "Content-Digest": digestHeader(photo.sha) },
        body: photo.bytes,
      }),
    );
  } catch {
    // Behind the others next time: a photo too heavy for this line must not hold them up.
    return { ...(await again(tools, photo)), cut: true };
  }
  return afterPhoto(tools, photo, response);
}

async function afterPhoto(tools: Tools, photo: KeptPhoto, response: Response): Promise<Stage> {
  const problem = await problemOf(response.clone());
  switch (response.status) {
    case 200:
    case 201:
      return (await isReceipt(response, photo.sha)) ? done(photo) : again(tools, photo);
    case 401:
      return problem ? { end: "paused", pause: "join-again" } : again(tools, photo);
    case 403:
      return problem ? { end: "paused", pause: "not-allowed" } : again(tools, photo);
    case 410:
      // Erased at someone's request meanwhile: the copy here goes too (R24).
      return problem?.type === ERASED ? gone(photo) : again(tools, photo);
    case 413:
    case 415:
      return problem ? refused(photo, problem) : again(tools, photo);
    case 422:
      if (problem && photo.tries + 1 >= MOST_TRIES) return refused(photo, problem);
      return again(tools, photo);
    case 429:
    case 503:
    case 507: {
      const after = retryAfterSeconds(response.headers.get("Retry-After"), tools.now());
      return { end: "later", after_s: after ?? 60 };
    }
    default:
      return again(tools, photo);
  }
}

/** True when the answer names our photo: a portal's page with status 200 does not. */
async function isReceipt(response: Response, sha: string): Promise<boolean> {
  try {
    const body = (await response.json()) as { sha256?: string; state?: string };
    return body.sha256 === sha && body.state === "here";
  } catch {
    return false;
  }
}

async function gone(photo: KeptPhoto): Promise<Stage> {
  await forgetPhoto(photo.sha);
  return { end: "done" };
}

async function done(photo: KeptPhoto): Promise<Stage> {
  await markPhoto(photo.sha, { state: "sent", problem: null });
  return { end: "done" };
}

async function again(tools: Tools, photo: KeptPhoto) {
  await markPhoto(photo.sha, {
    tries: photo.tries + 1,
    not_before: tools.now() + Math.round(WAIT_MS * tools.random()),
  });
  return { end: "later" as const, after_s: null };
}

async function refused(photo: KeptPhoto, problem: Problem): Promise<Stage> {
  await markPhoto(photo.sha, { state: "needs-attention", problem });
  return { end: "done" };
}

/** Content-Digest (RFC 9530): the same hash in base64. */
function digestHeader(sha: string): string {
  const bytes = sha.match(/../g)?.map((pair) => Number.parseInt(pair, 16)) ?? [];
  return `sha-256=:${btoa(String.fromCharCode(...bytes))}:`;
}
