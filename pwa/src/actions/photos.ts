/** Erasing a photo at once and for good (R24). Needs the network: it is gone for everybody, or not. */

import { ask } from "../api/client";
import type { Problem } from "../domain/planter";
import { ring } from "../store/bell";
import { forgetPhoto } from "../store/photos";

const UNKNOWN = 404;

/** Erases it at the server, then here; the problem where the server did not. */
export async function erasePhoto(sha: string): Promise<Problem | null> {
  const { problem } = await ask<void>(`/photos/${sha}`, { method: "DELETE" });
  // A photo whose record was never sent is on this phone alone.
  if (problem && problem.status !== UNKNOWN) return problem;
  await forgetPhoto(sha);
  ring("asked");
  return null;
}
