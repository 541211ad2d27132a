/** Where everything of the freeze odds' drawing stands. Pure: days in, coordinates out. */

import type { FreezeChance } from "./planter";
import { daysBetween } from "./time";
import { addDays } from "./water";

export const CHANCES = [10, 20, 30, 40, 50, 60, 70, 80, 90] as const;
export type Chance = (typeof CHANCES)[number];
type DayKey = `p${Chance}`;

/** Room at both ends [days], so that the words at a bar's ends stay inside. */
const MARGIN_DAYS = 9;

/** The day of a chance; null where it does not come so often. */
export function dayOfChance(odds: Pick<FreezeChance, DayKey>, chance: Chance): string | null {
  return odds[`p${chance}`] ?? null;
}

/** One threshold's bar: from the 10 to the 90 % day, its middle eight in ten of that. */
export interface Bar {
  f: number;
  /** Days that are known, by chance. */
  at: { chance: Chance; x: number; day: string }[];
}

export interface OddsShape {
  bars: Bar[];
  /** First days of months. */
  months: { x: number; day: string }[];
  /** Today, if it is among the days drawn. */
  now: number | null;
}

/** The drawing of some thresholds between `left` and `right` [px]; null without any day. */
export function oddsShape(
  odds: readonly FreezeChance[],
  left: number,
  right: number,
  today: string,
): OddsShape | null {
  const days = odds
    .flatMap((one) => CHANCES.map((chance) => dayOfChance(one, chance)))
    .filter((day) => day !== null)
    .sort();
  const [earliest, latest] = [days[0], days.at(-1)];
  if (!earliest || !latest) return null;
  const first = addDays(earliest, -MARGIN_DAYS);
  const span = daysBetween(first, addDays(latest, MARGIN_DAYS));
  const x = (day: string) => left + ((right - left) * daysBetween(first, day)) / span;
  const last = addDays(latest, MARGIN_DAYS);
  return {
    bars: odds.map((one) => ({
      f: one.f,
      at: CHANCES.flatMap((chance) => {
        const day = dayOfChance(one, chance);
        return day ? [{ chance, x: x(day), day }] : [];
      }).sort((a, b) => a.x - b.x),
    })),
    months: monthsBetween(first, last).map((day) => ({ x: x(day), day })),
    now: today >= first && today <= last ? x(today) : null,
  };
}

function monthsBetween(first: string, last: string): string[] {
  const found: string[] = [];
  for (let day = first; day <= last; day = addDays(day, 1)) {
    if (day.endsWith("-01")) found.push(day);
  }
  return found;
}
