/** Records and reports that wait for the coordinator's word. */

import { type Answer, ask } from "../api/client";

/** Takes a held record into the log, or leaves it out; `planter` where it named none we know. */
export function settleHeld(
  id: string,
  take: boolean,
  planter?: string,
): Promise<Answer<{ id: string; taken: boolean }>> {
  return ask(`/held/${encodeURIComponent(id)}`, {
    method: "POST",
    json: planter ? { take, planter } : { take },
  });
}
