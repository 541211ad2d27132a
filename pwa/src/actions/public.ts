/** What a passer-by can ask: a tag's public page, and telling us that something is wrong. */

import { type Answer, ask } from "../api/client";
import type { PublicTag } from "../domain/planter";
import type { ReportWhat } from "../domain/records";

/** The public page of a tag. */
export function publicTag(code: string): Promise<Answer<PublicTag>> {
  return ask(`/public/tags/${encodeURIComponent(code)}`);
}

/** Tells the neighbours what is wrong. No name, no account, no photo. */
export function sendReport(
  code: string,
  what: ReportWhat,
  text: string,
): Promise<Answer<{ received: boolean }>> {
  return ask(`/public/tags/${encodeURIComponent(code)}/reports`, {
    method: "POST",
    json: text ? { what, text } : { what },
  });
}
