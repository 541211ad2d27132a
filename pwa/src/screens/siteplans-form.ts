/** The points of a plan picture while they are being marked: a draft, and what is sent of it. */

import type { PointBody } from "../actions/site-plans";
import type { KnownPoint, SitePlan } from "../domain/planter";
import type { Spot } from "../domain/site-plan";

export interface PointDraft {
  spot: Spot | null;
  /** "planter <id>", "tap <id>", "typed", or empty: not said yet. */
  what: string;
  lat: string;
  lon: string;
}

export const NO_POINT: PointDraft = { spot: null, what: "", lat: "", lon: "" };
/** Two place a picture; a third one may check it. */
export const POINTS = 2;

const draftOf = (point: KnownPoint): PointDraft => ({
  spot: { x: point.x, y: point.y },
  what: point.of === "typed" ? "typed" : `${point.of} ${point.id}`,
  lat: point.of === "typed" ? String(point.lat) : "",
  lon: point.of === "typed" ? String(point.lon) : "",
});

/** The points as they were marked last, and room for those that were not. */
export function draftsOf(plan: SitePlan): PointDraft[] {
  return Array.from({ length: POINTS + 1 }, (_, index) => {
    const point = plan.points[index];
    return point ? draftOf(point) : NO_POINT;
  });
}

const degrees = (typed: string) => (typed.trim() === "" ? null : Number(typed));

function bodyOf(draft: PointDraft): PointBody | null {
  if (!draft.spot || !draft.what) return null;
  const { x, y } = draft.spot;
  if (draft.what === "typed")
    return { x, y, of: "typed", lat: degrees(draft.lat), lon: degrees(draft.lon) };
  const [of, id = ""] = draft.what.split(" ");
  return { x, y, of: of === "tap" ? "tap" : "planter", id };
}

/** What is sent; null while one of the first two lacks something. */
export function pointsBody(drafts: readonly PointDraft[]): PointBody[] | null {
  const bodies = drafts.map(bodyOf);
  const [one, other, check] = bodies;
  if (!one || !other) return null;
  return check ? [one, other, check] : [one, other];
}
