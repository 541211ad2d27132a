/** What the review needs of the server: cases that only it knows, and the last look of a person. */

import { type Answer, ask } from "../api/client";
import type { components } from "../api/schema";
import type { PhoneToAsk, ReviewDesk, SeenFlag } from "../domain/planter";
import { keepReview, readReview } from "../store/review";

type Kept = components["schemas"]["Looked"];

/**
 * Fetches what only the server knows. The last look follows the person from phone to laptop; one
 * taken here without signal goes there first. Without an answer what was kept stands.
 */
export async function renewReview(): Promise<void> {
  const { looked, unsent } = await readReview();
  if (unsent && looked) await send(looked.seen);
  const answer = await ask<ReviewDesk>("/review");
  if (!answer.value) return;
  const { held, phones } = answer.value;
  const still = await readReview();
  await keepReview(
    still.unsent
      ? { desk: { held, phones } }
      : { desk: { held, phones }, looked: answer.value.looked },
  );
}

/** Remembers the flags as they stand: what changes from here on is told apart. */
export async function markLooked(seen: SeenFlag[], at: string): Promise<void> {
  await keepReview({ looked: { at, seen }, unsent: true });
  await send(seen);
}

async function send(seen: SeenFlag[]): Promise<void> {
  const answer = await ask<Kept>("/review/looked", { method: "PUT", json: { seen } });
  if (answer.value) await keepReview({ looked: answer.value, unsent: false });
}

/** Answers for records of a phone that will not come. */
export function settlePhone(
  phone: PhoneToAsk,
): Promise<Answer<components["schemas"]["PhoneSettled"]>> {
  return ask(`/review/phones/${encodeURIComponent(phone.device)}/settle`, {
    method: "POST",
    json: { numbers: phone.numbers },
  });
}
