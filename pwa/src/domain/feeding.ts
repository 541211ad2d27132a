/**
 * When somebody fed last, from the card and this phone's own records, and whether it is too soon.
 * Days are counted; doses and rates are the server's.
 */

import type { PlanterCard, StandingFeed, Town } from "./planter";
import { daysBetween } from "./time";
import { addDays } from "./water";

/** A reading beyond this is in uS/cm under the wrong name. */
export const MOST_EC = 20;

export interface LastFed {
  at: string;
  by: string;
  ppm_n: number | null;
  what: string | null;
  days: number;
  /** The day from which the next feed is due by the town's interval; null where none is set. */
  next: string | null;
  /** True while another feed would be one too many. */
  early: boolean;
}

/** A town card kept from an older server says nothing of feed. */
export function feedOf(town: Town | null | undefined): StandingFeed | null {
  return (town as Partial<Town> | null | undefined)?.feeding ?? null;
}

/** The last feed of a planter on a day; `dayOf` gives the town's day of a moment. */
export function lastFed(
  card: PlanterCard,
  feed: StandingFeed | null,
  today: string,
  dayOf: (at: string) => string,
): LastFed | null {
  const { last_fed } = card.state;
  if (!last_fed) return null;
  const day = dayOf(last_fed.at);
  const days = daysBetween(day, today);
  return {
    at: last_fed.at,
    by: last_fed.by,
    ppm_n: last_fed.ppm_n ?? null,
    what: last_fed.what,
    days,
    next: feed?.every_days ? addDays(day, feed.every_days) : null,
    early: feed !== null && days < feed.least_days,
  };
}

/** What a meter in uS/cm would mean in mS/cm; null when the figure is no such slip. */
export function fromMicro(typed: number | null): number | null {
  return typed !== null && typed > MOST_EC ? Math.round(typed) / 1000 : null;
}

/** Why the planter is not to be fed now, in the server's words; null when nothing speaks against it. */
export function feedHold(card: PlanterCard): string | null {
  const { feeding = null } = card as Partial<PlanterCard>;
  return feeding?.hold ? feeding.sentence : null;
}
