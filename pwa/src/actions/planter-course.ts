/** A planter's whole history. Online: a phone keeps its card, the seasons lie on the server. */

import { type Answer, ask } from "../api/client";
import type { PlanterCourse, PlanterFlags, PlanterVisits } from "../domain/planter-course";

function of(id: string, what: string, asked: Record<string, string | undefined>): string {
  const told = Object.entries(asked).filter((pair): pair is [string, string] => Boolean(pair[1]));
  const query = new URLSearchParams(told).toString();
  return `/planters/${encodeURIComponent(id)}/${what}${query ? `?${query}` : ""}`;
}

/** A season of a planter, the present one when no year is named. */
export function readCourse(id: string, year: string | undefined): Promise<Answer<PlanterCourse>> {
  return ask(of(id, "history", { year }));
}

/** The flags of a season: they are replayed day by day, which takes a moment. */
export function readFlags(id: string, year: string | undefined): Promise<Answer<PlanterFlags>> {
  return ask(of(id, "flags", { year }));
}

/** Visits, newest first, from a season's end or from a moment back. */
export function readVisits(
  id: string,
  from: { year?: string; before?: string; most?: number },
): Promise<Answer<PlanterVisits>> {
  const { year, before, most } = from;
  return ask(of(id, "visits", { year, before, most: most?.toString() }));
}
