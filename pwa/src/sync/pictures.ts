/** Pictures of planters, small, and plans, whole: fetched last, for when there is no signal. */

import { isType, PATIENCE_MS, patiently } from "../api/client";
import { dropPicture, keepPicture, pictureNames } from "../store/planters";
import type { Tools } from "./sync";

/** Enough for a town at its first talk; the rest comes with the next ones. */
const MOST_A_TALK = 60;

/** Brings the kept pictures in line with the cards. Stops quietly at the first that does not come. */
export async function fetchPictures(tools: Tools): Promise<void> {
  const { wanted, kept } = await pictureNames();
  for (const sha of kept) if (!wanted.has(sha)) await dropPicture(sha);
  const missing = [...wanted].filter(([sha]) => !kept.includes(sha)).slice(0, MOST_A_TALK);
  for (const [sha, size] of missing) {
    if (!(await fetchPicture(tools, sha, size))) return;
  }
}

async function fetchPicture(tools: Tools, sha: string, size: string): Promise<boolean> {
  try {
    return await patiently(PATIENCE_MS, async (signal) => {
      const address = `/api/v1/photos/${sha}?size=${size}`;
      const response = await tools.fetch(address, { redirect: "error", signal });
      if (response.status === 404) return true; // gone meanwhile: the next one
      if (response.status !== 200 || !isType(response, "image/jpeg")) return false;
      await keepPicture(sha, await response.arrayBuffer());
      return true;
    });
  } catch {
    return false;
  }
}
