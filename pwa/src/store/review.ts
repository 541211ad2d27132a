/** The review as last fetched and last looked through, so that it stands without signal. */

import type { KeptReview } from "../domain/since";
import { changed, withPhone } from "./database";

const KEY = "review";
const NOTHING: KeptReview = {
  id: KEY,
  desk: { held: [], phones: [] },
  looked: null,
  unsent: false,
};

/** What is kept; nothing where it was never fetched. */
export async function readReview(): Promise<KeptReview> {
  const kept = await withPhone((db) => db.get("town", KEY));
  return (kept as KeptReview | undefined) ?? NOTHING;
}

/** Keeps some of it anew. */
export async function keepReview(some: Partial<Omit<KeptReview, "id">>): Promise<void> {
  const was = await readReview();
  const next = { ...was, ...some };
  if (JSON.stringify(next) === JSON.stringify(was)) return; // nothing to draw anew
  await withPhone((db) => db.put("town", next));
  changed("town");
}
