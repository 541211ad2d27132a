/**
 * What the phone makes of the water the server forecast: which day's litres count, and whether they
 * still do. Pure, and no balance of its own.
 */

import type { OutboxEntry } from "./outbox";
import type { PlanterCard, WaterCard } from "./planter";
import { daysBetween } from "./time";

/** Litres up to the overflow, and the two between which four out of five truths fall. */
export interface Litres {
  litres_l: number;
  low_l: number;
  high_l: number;
}

/** A planter likely empty within so many days says so in the list. */
const SOON_DAYS = 3;
/** Use this near to its kind is called like its kind. */
const LIKE_ITS_KIND = 0.05;

/** The day so many days after another; days are YYYY-MM-DD. */
export function addDays(day: string, days: number): string {
  return new Date(Date.parse(`${day}T00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
}

/** The forecast, until this phone recorded something at the planter that it does not know of. */
export function freshWater(card: PlanterCard, waiting: readonly OutboxEntry[]): WaterCard | null {
  if (waiting.some((entry) => !["decision", "round", "stop"].includes(entry.kind))) return null;
  return card.water ?? null;
}

/** The day it is likely empty; null when that is later than anybody looked ahead. */
export function emptyOn(water: WaterCard): string | null {
  const days = water.days_to_empty.mid;
  return days === null ? null : addDays(water.as_of, Math.floor(Math.max(0, days)));
}

/** The same, only when it is near enough to be said in the list of planters. */
export function emptySoon(water: WaterCard | null, today: string): string | null {
  const day = water && emptyOn(water);
  return day && daysBetween(today, day) <= SOON_DAYS ? day : null;
}

/** Litres forecast for a day; null for one beyond those carried. */
export function forecastLitres(water: WaterCard | null, day: string): Litres | null {
  return water?.top_up.find((one) => one.date === day) ?? null;
}

/** What a reading of that mark means in litres. */
export function readingLitres(card: PlanterCard, level: number | null | undefined): Litres | null {
  return card.top_up.find((one) => one.level === level) ?? null;
}

/**
 * Litres to expect on a day: the forecast before anybody looked, the narrower of forecast and
 * reading after. A reading the forecast does not agree with is believed over it.
 */
export function expectedLitres(
  card: PlanterCard,
  water: WaterCard | null,
  day: string,
  level: number | null | undefined,
): Litres | null {
  const ahead = forecastLitres(water, day);
  const read = readingLitres(card, level);
  if (!ahead || !read) return read ?? ahead;
  const narrower = ahead.high_l - ahead.low_l < read.high_l - read.low_l;
  return agree(ahead, read) && narrower ? ahead : read;
}

function agree(ahead: Litres, read: Litres): boolean {
  return ahead.litres_l >= read.low_l && ahead.litres_l <= read.high_l;
}

/** The last reading as it was left: null once water was given with it, or somebody came after it. */
export function readAndLeft(card: PlanterCard): { value: number; at: string } | null {
  const { level, last_visit } = card.state;
  if (!level || level.record !== last_visit?.record) return null;
  const visit = card.visits.find((one) => one.record === level.record);
  const given = !visit || visit.litres_l || visit.overhead_l || visit.litres_how === "to-overflow";
  return given || visit.overflow === "ran-while-filling" ? null : level;
}

/** True when the forecast for a day contradicts what was read that very day: then it is not said. */
export function atOdds(
  card: PlanterCard,
  water: WaterCard | null,
  day: string,
  readThatDay: number | null | undefined,
): boolean {
  const ahead = forecastLitres(water, day);
  const read = readingLitres(card, readThatDay);
  return ahead !== null && read !== null && !agree(ahead, read);
}

/** How far the use lies above (+) or below (-) that of its kind, in percent; 0 for about the same. */
export function besideItsKind(water: WaterCard): number | null {
  if (water.peers === null) return null;
  const away = water.peers - 1;
  return Math.abs(away) < LIKE_ITS_KIND ? 0 : Math.round(away * 100);
}
