/** Where everything of a planter's season stands on one line of days. Pure: no litre is worked out. */

import type { components } from "../api/schema";
import type { Frame, Point } from "./reservoir-chart";
import { daysBetween } from "./time";
import { addDays } from "./water";

type Shapes = components["schemas"];
export type PlanterCourse = Shapes["PlanterCourse"];
export type PlanterFlags = Shapes["PlanterFlags"];
export type PlanterVisits = Shapes["PlanterVisits"];
export type FlagRun = Shapes["FlagRun"];
export type CourseSeason = Shapes["CourseSeason"];
export type CourseMark = Shapes["CourseMark"];
export type CoursePhoto = Shapes["CoursePhoto"];
export type CourseChange = Shapes["CourseChange"];
export type UseBesideKind = Shapes["UseBesideKind"];

/** First and last day drawn. */
export interface Span {
  from: string;
  to: string;
}

/** Days of a close look, and how far one step of it goes. */
export const CLOSE_DAYS = 55;
const STEP_DAYS = 42;
/** A season of so many days at least, so that a young one is not drawn as three fat bars. */
const LEAST_DAYS = 27;
/** So far the forecast is drawn. */
const AHEAD_DAYS = 14;

const earlier = (one: string, other: string) => (one.localeCompare(other) <= 0 ? one : other);
const later = (one: string, other: string) => (one.localeCompare(other) >= 0 ? one : other);

/** The season as far as anything is known or forecast of it. */
export function wholeSpan(course: PlanterCourse): Span {
  const { begins, until, season } = course;
  const known = [season.sky[0]?.date, season.marks[0]?.day, season.plants[0]?.day];
  const first = known.reduce<string>((one, day) => (day ? earlier(one, day) : one), until);
  const ahead = [season.sky.at(-1)?.date, season.believed.at(-1)?.date];
  const last = ahead.reduce<string>((one, day) => (day ? later(one, day) : one), until);
  // The balance looks further than the weather is forecast; the chart does not.
  const far = addDays(until, course.whole ? 0 : AHEAD_DAYS);
  return {
    from: later(begins, earlier(first, addDays(until, -LEAST_DAYS))),
    to: earlier(last, far),
  };
}

/** Eight weeks that end with the season, or so many steps before that. */
export function closeSpan(whole: Span, steps: number): Span {
  const to = addDays(whole.to, -steps * STEP_DAYS);
  const from = later(addDays(to, -CLOSE_DAYS), whole.from);
  return { from, to: earlier(later(to, addDays(from, CLOSE_DAYS)), whole.to) };
}

/** How many steps there are before the look holds the season's first day. */
export function closeSteps(whole: Span): number {
  return Math.max(0, Math.ceil((daysBetween(whole.from, whole.to) - CLOSE_DAYS) / STEP_DAYS));
}

/** The steps to the eight weeks in which somebody was last here. */
export function stepsToLast(course: PlanterCourse, whole: Span): number {
  const { marks, plants } = course.season;
  const seen = [marks.at(-1)?.day, plants.at(-1)?.day];
  const last = seen.reduce<string>((one, day) => (day ? later(one, day) : one), whole.from);
  const steps = Math.floor(daysBetween(last, whole.to) / STEP_DAYS);
  return Math.min(closeSteps(whole), Math.max(0, steps));
}

export function within(span: Span, day: string): boolean {
  return day >= span.from && day <= span.to;
}

/** Where a day stands; a day has its width, so the first and the last are drawn whole. */
export function dayScale(span: Span, frame: Frame): { x: (day: string) => number; day: number } {
  const days = daysBetween(span.from, span.to) + 1;
  const day = (frame.width - frame.left - frame.right) / days;
  return { x: (one) => frame.left + day * (daysBetween(span.from, one) + 0.5), day };
}

/** Days to name: the first of each month in a long span, every so many weeks in a short one. */
export function namedDays(span: Span, room: number, x: (day: string) => number): string[] {
  const days: string[] = [];
  const long = daysBetween(span.from, span.to) > CLOSE_DAYS + STEP_DAYS;
  for (let day = span.from; day <= span.to; day = addDays(day, 1)) {
    const named = long ? day.endsWith("-01") : daysBetween(day, span.to) % 7 === 0;
    const last = days.at(-1);
    if (named && (last === undefined || x(day) - x(last) >= room)) days.push(day);
  }
  return days;
}

/** A mark of the water where it is drawn: what was read, how far it was filled. */
export interface DrawnMark {
  record: string;
  x: number;
  read: number | null;
  /** Where the fill ended; null when there was none, or nobody knows how far. */
  filled: number | null;
  /** Water was given and nobody knows how far it went: drawn on the floor, open. */
  unknown: boolean;
  over: boolean;
  wet: boolean;
  drained: boolean;
  unsure: boolean;
}

export interface LevelShape {
  past: Point[];
  ahead: Point[];
  band: Point[];
  marks: DrawnMark[];
  floor: number;
  full: number;
  half: number;
}

/** The reservoir's panel. */
export function levelShape(course: PlanterCourse, span: Span, frame: Frame): LevelShape {
  const { season, reservoir_l } = course;
  const { x } = dayScale(span, frame);
  const floor = frame.height - frame.bottom;
  const y = (litres: number) =>
    floor - (floor - frame.top) * Math.min(1, Math.max(0, litres / (reservoir_l || 1)));
  const days = season.believed.filter((one) => within(span, one.date));
  const past = days.filter((one) => !one.ahead);
  const coming = days.filter((one) => one.ahead);
  const today = past.at(-1);
  const ahead = coming.length && today ? [today, ...coming] : coming;
  const at = (key: "mid" | "low" | "high") => (one: (typeof days)[number]) =>
    [x(one.date), y(one[key])] as const;
  return {
    past: past.map(at("mid")),
    ahead: ahead.map(at("mid")),
    band: [...ahead.map(at("high")), ...[...ahead].reverse().map(at("low"))],
    marks: season.marks
      .filter((one) => within(span, one.day))
      .map((one) => ({
        record: one.record,
        x: x(one.day),
        read: one.read_l === null ? null : y(one.read_l),
        filled: one.filled_to_l === null ? null : y(one.filled_to_l),
        unknown: one.given_l !== null && one.filled_to_l === null,
        over: one.overflow === "ran-while-filling",
        wet: one.overflow === "wet-on-arrival",
        drained: one.drained,
        unsure: one.unsure,
      })),
    floor,
    full: y(reservoir_l),
    half: y(reservoir_l / 2),
  };
}

/** One day's column: where it stands, where it begins and ends, and whether it is still to come. */
export interface Column {
  date: string;
  x: number;
  from: number;
  to: number;
  ahead: boolean;
}

export interface SkyShape {
  columns: Column[];
  day: number;
  /** The lines to name, with what they stand for. */
  lines: { value: number; y: number }[];
  floor: number;
  y: (value: number) => number;
}

/** So much rain fills the panel at least, so that a drizzle does not look like a storm. [mm] */
const LEAST_RAIN_MM = 10;
/** The lines drawn over the heat: water freezes, plants drink hard. [deg C] Judgement. */
export const FREEZE_C = 0;
export const HOT_C = 30;
const ROOM_C = 3;

/** Rain as columns that stand on the floor. */
export function rainShape(course: PlanterCourse, span: Span, frame: Frame): SkyShape {
  const days = course.season.sky.filter((one) => within(span, one.date));
  const most = Math.ceil(Math.max(LEAST_RAIN_MM, ...days.map((one) => one.rain_mm ?? 0)));
  const floor = frame.height - frame.bottom;
  const y = (mm: number) => floor - ((floor - frame.top) * mm) / most;
  const { x, day } = dayScale(span, frame);
  return {
    columns: days
      .filter((one) => one.rain_mm)
      .map((one) => ({
        date: one.date,
        x: x(one.date),
        from: floor,
        to: y(one.rain_mm ?? 0),
        ahead: one.date > course.until,
      })),
    day,
    lines: [{ value: most, y: y(most) }],
    floor,
    y,
  };
}

/** Heat as columns from the night's low to the day's high. */
export function heatShape(course: PlanterCourse, span: Span, frame: Frame): SkyShape {
  const days = course.season.sky.filter((one) => within(span, one.date));
  const low = Math.min(FREEZE_C, ...days.map((one) => one.tmin_c)) - ROOM_C;
  const high = Math.max(HOT_C, ...days.map((one) => one.tmax_c)) + ROOM_C;
  const floor = frame.height - frame.bottom;
  const y = (c: number) => floor - ((floor - frame.top) * (c - low)) / (high - low);
  const { x, day } = dayScale(span, frame);
  return {
    columns: days.map((one) => ({
      date: one.date,
      x: x(one.date),
      from: y(one.tmin_c),
      to: y(one.tmax_c),
      ahead: one.date > course.until,
    })),
    day,
    lines: [FREEZE_C, HOT_C].map((value) => ({ value, y: y(value) })),
    floor,
    y,
  };
}

export interface PlantsShape {
  scores: { record: string; at: Point; score: number; unsure: boolean }[];
  /** Where signs were seen, at the panel's foot. */
  signs: { record: string; x: number }[];
  floor: number;
  y: (score: number) => number;
}

/** The plants' panel, 1 at the foot to 5 at the top, signs beneath. */
export function plantsShape(course: PlanterCourse, span: Span, frame: Frame): PlantsShape {
  const floor = frame.height - frame.bottom;
  const y = (score: number) => floor - ((floor - frame.top) * (score - 1)) / 4;
  const { x } = dayScale(span, frame);
  const seen = course.season.plants.filter((one) => within(span, one.day));
  return {
    scores: seen.flatMap(({ record, day, score, unsure }) =>
      score === null ? [] : [{ record, at: [x(day), y(score)] as const, score, unsure }],
    ),
    signs: seen
      .filter((one) => one.signs.length)
      .map((one) => ({ record: one.record, x: x(one.day) })),
    floor,
    y,
  };
}

/** Every sign with how often it was seen and when last, the most frequent first. */
export function signsSeen(
  season: CourseSeason,
  span: Span,
): { sign: string; count: number; last: string }[] {
  const found = new Map<string, { sign: string; count: number; last: string }>();
  for (const one of season.plants) {
    if (!within(span, one.day)) continue;
    for (const sign of one.signs) {
      const seen = found.get(sign) ?? { sign, count: 0, last: one.day };
      found.set(sign, { sign, count: seen.count + 1, last: one.day });
    }
  }
  return [...found.values()].sort((a, b) => b.count - a.count || a.sign.localeCompare(b.sign));
}
