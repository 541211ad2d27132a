/** The feed calculator: worked out by the server, so that the science exists once. Online. */

import { type Answer, ask } from "../api/client";
import type { FeedAnswer, FeedQuestion } from "../domain/planter";

/** Rate to dose, or dose to rate. Nothing is kept. */
export function workOutFeed(question: FeedQuestion): Promise<Answer<FeedAnswer>> {
  return ask("/care/feed", { method: "POST", json: question });
}
