/** Where everything of the reservoir's chart stands. Pure: days and litres in, coordinates out. */

import type { WaterCard } from "./planter";
import { daysBetween } from "./time";
import { addDays, emptyOn } from "./water";

export interface Frame {
  width: number;
  height: number;
  left: number;
  right: number;
  top: number;
  bottom: number;
}

export type Point = readonly [x: number, y: number];

export interface ChartShape {
  /** The past, one run for each stretch of days without a gap. */
  past: Point[][];
  /** The middle of the forecast, from today on. */
  ahead: Point[];
  /** Its band, once around; empty when there is no forecast. */
  band: Point[];
  readings: Point[];
  /** Where water was poured in: at the line it filled up to. */
  fills: Point[];
  now: number;
  /** Likely dry: where, and which day. Null when not among the days drawn. */
  dry: { x: number; day: string } | null;
  floor: number;
  half: number;
  full: number;
  x: (day: string) => number;
}

type Day = WaterCard["series"][number];
const WEEK = 7;

/** Only the days around today, for a chart with little room. */
export function around(water: WaterCard, back: number, on: number): WaterCard {
  const from = addDays(water.as_of, -back);
  const to = addDays(water.as_of, on);
  const within = (one: { date: string }) => one.date >= from && one.date <= to;
  return { ...water, series: water.series.filter(within), marks: water.marks.filter(within) };
}

/** Days in order, without those that carry no number. */
function daysOf(water: WaterCard): Day[] {
  return water.series
    .filter((one) => [one.mid, one.low, one.high].every(Number.isFinite))
    .sort((one, other) => one.date.localeCompare(other.date));
}

/** First and last day drawn: never less than a week. */
function bounds(days: Day[]): [string, string] | [] {
  const first = days[0]?.date;
  const last = days.at(-1)?.date;
  if (!first || !last) return [];
  const week = addDays(last, -WEEK);
  return [first.localeCompare(week) < 0 ? first : week, last];
}

/** Litres after a day's pouring: to the overflow, or as much more as was poured. */
function poured(water: WaterCard, day: Day, capacity: number): number | null {
  const marks = water.marks.filter((one) => one.date === day.date && one.kind !== "reading");
  if (!marks.length) return null;
  if (marks.some((one) => one.kind === "full")) return capacity;
  const litres = marks.reduce((sum, one) => sum + one.value_l, 0);
  return Math.min(capacity, day.mid + litres);
}

/** The shape for a reservoir of `capacity` litres in a frame; null when there is nothing to draw. */
export function chartShape(water: WaterCard, capacity: number, frame: Frame): ChartShape | null {
  const days = daysOf(water);
  const [first, last] = bounds(days);
  if (!first || !last || !(capacity > 0)) return null;
  const span = daysBetween(first, last);
  const wide = frame.width - frame.left - frame.right;
  const at = (days: number) => frame.left + (wide * days) / span;
  const x = (day: string) => at(daysBetween(first, day));
  const floor = frame.height - frame.bottom;
  const y = (litres: number) =>
    floor - (floor - frame.top) * Math.min(1, Math.max(0, litres / capacity));
  const marks = water.marks.filter((one) => one.date >= first && one.date <= last);
  const past = days.filter((one) => !one.ahead);
  const today = past.at(-1);
  const coming = days.filter((one) => one.ahead);
  const ahead = coming.length && today ? [today, ...coming] : coming;
  const empty = emptyOn(water);
  const dryDays = water.days_to_empty.mid ?? 0;
  return {
    past: runs(past, water, capacity).map((run) => {
      const points = run.map(([day, litres]) => [x(day), y(litres)] as const);
      // A day alone is drawn as half a day wide, to be seen at all.
      const [only, second] = points;
      return only && !second ? [[only[0] - at(0.5) + at(0), only[1]] as const, only] : points;
    }),
    ahead: untilDry(ahead, "mid").map((one) => [x(one.date), y(one.mid)] as const),
    band: [
      ...untilDry(ahead, "high").map((one) => [x(one.date), y(one.high)] as const),
      ...untilDry(ahead, "high")
        .reverse()
        .map((one) => [x(one.date), y(one.low)] as const),
    ],
    readings: marks
      .filter((one) => one.kind === "reading")
      .map((one) => [x(one.date), y(one.value_l)] as const),
    fills: past.flatMap((day) => {
      const litres = poured(water, day, capacity);
      if (litres === null) return [];
      return [[x(day.date), y(day === today ? day.mid : litres)] as const];
    }),
    now: x(water.as_of),
    dry:
      empty && empty <= last
        ? {
            x: Math.min(x(water.as_of) + (wide * Math.max(0, dryDays)) / span, at(span)),
            day: empty,
          }
        : null,
    floor,
    half: y(capacity / 2),
    full: y(capacity),
    x,
  };
}

/** The days up to the first dry one: a line along the floor says nothing more. */
function untilDry(days: Day[], of: "mid" | "high"): Day[] {
  const dry = days.findIndex((one, index) => index > 0 && one[of] <= 0);
  return dry < 0 ? [...days] : days.slice(0, dry + 1);
}

/** The past as runs of [day, litres]; a fill stands upright on its day. */
function runs(past: Day[], water: WaterCard, capacity: number): [string, number][][] {
  const all: [string, number][][] = [];
  past.forEach((day, index) => {
    const before = past[index - 1];
    const next = past[index + 1];
    if (!before || daysBetween(before.date, day.date) > 1) all.push([]);
    const run = all.at(-1);
    run?.push([day.date, day.mid]);
    // The last morning has its pouring in it already.
    const after = next && daysBetween(day.date, next.date) === 1 && poured(water, day, capacity);
    if (after) run?.push([day.date, Math.max(after, next.mid)]);
  });
  return all;
}

/**
 * Days to name under the chart: whole weeks back and on from today, two weeks apart where they
 * would touch, none nearer than `room` to what stands there already.
 */
export function tickDays(
  shape: ChartShape,
  water: WaterCard,
  room: number,
  taken: readonly { x: number; room: number }[],
): string[] {
  const [first, last] = bounds(daysOf(water));
  if (!first || !last) return [];
  const perWeek = shape.x(addDays(first, WEEK)) - shape.x(first);
  const step = WEEK * Math.max(1, Math.ceil(room / perWeek));
  const ticks: string[] = [];
  const begin = -Math.floor(daysBetween(first, water.as_of) / step) * step;
  for (let n = begin; addDays(water.as_of, n) <= last; n += step) {
    const day = addDays(water.as_of, n);
    const x = shape.x(day);
    if (n !== 0 && taken.every((one) => Math.abs(one.x - x) >= (room + one.room) / 2)) {
      ticks.push(day);
    }
  }
  return ticks;
}
