/** A planter's season on one line of days: where it begins and ends, where each thing stands. */

import { describe, expect, test } from "vitest";
import {
  CLOSE_DAYS,
  type CourseMark,
  closeSpan,
  closeSteps,
  dayScale,
  heatShape,
  levelShape,
  namedDays,
  type PlanterCourse,
  plantsShape,
  rainShape,
  signsSeen,
  stepsToLast,
  wholeSpan,
} from "../src/domain/planter-course";
import type { Frame } from "../src/domain/reservoir-chart";
import { daysBetween } from "../src/domain/time";
import { addDays } from "../src/domain/water";

/** Ten pixels a day for ten days; a hundred from full to empty. */
const FRAME: Frame = { width: 150, height: 120, left: 40, right: 10, top: 10, bottom: 10 };
const SPAN = { from: "2026-07-01", to: "2026-07-10" };

const NOTHING: CourseMark = {
  record: "r",
  at: "2026-07-01T08:00:00.000Z",
  day: "2026-07-01",
  unsure: false,
  read_l: null,
  given_l: null,
  overhead_l: null,
  filled_to_l: null,
  overflow: "not-looked",
  drained: false,
};

function mark(day: string, more: Partial<CourseMark>): CourseMark {
  return { ...NOTHING, record: day, day, ...more };
}

function sky(date: string, tmin_c: number, tmax_c: number, rain_mm: number | null = 0) {
  return { date, tmin_c, tmax_c, rain_mm };
}

function course(season: Partial<PlanterCourse["season"]>, more: Partial<PlanterCourse> = {}) {
  return {
    reservoir_l: 10,
    begins: "2026-04-01",
    until: "2026-07-08",
    whole: false,
    season: { marks: [], believed: [], sky: [], plants: [], ...season },
    ...more,
  } as unknown as PlanterCourse;
}

describe("the days drawn", () => {
  test("from the first day anything is known of to a fortnight ahead at most", () => {
    const young = course({ marks: [mark("2026-07-05", {})] });
    expect(wholeSpan(young)).toEqual({ from: "2026-06-11", to: "2026-07-08" });
    const far = { date: "2026-08-10", mid: 1, low: 0, high: 2, ahead: true };
    const known = course({ sky: [sky("2026-04-20", 1, 2)], believed: [far] });
    expect(wholeSpan(known)).toEqual({ from: "2026-04-20", to: "2026-07-22" });
  });

  test("a season that is over ends with itself, and nothing before it is drawn", () => {
    const past = course(
      { sky: [sky("2025-04-01", 1, 2), sky("2026-03-31", 1, 2)] },
      { begins: "2025-04-01", until: "2026-03-31", whole: true },
    );
    expect(wholeSpan(past)).toEqual({ from: "2025-04-01", to: "2026-03-31" });
  });

  test("steps of a close look reach every day, each as long as the others", () => {
    const whole = { from: "2025-04-01", to: "2026-03-31" };
    const most = closeSteps(whole);
    const seen = new Set<string>();
    for (let step = 0; step <= most; step += 1) {
      const { from, to } = closeSpan(whole, step);
      expect(daysBetween(from, to)).toBe(CLOSE_DAYS);
      for (let day = from; day <= to; day = addDays(day, 1)) seen.add(day);
    }
    expect(seen.size).toBe(365);
    expect([...seen].sort()[0]).toBe("2025-04-01");
  });

  test("a short season has no steps", () => {
    expect(closeSteps({ from: "2026-07-01", to: "2026-07-20" })).toBe(0);
    expect(closeSpan({ from: "2026-07-01", to: "2026-07-20" }, 0)).toEqual({
      from: "2026-07-01",
      to: "2026-07-20",
    });
  });

  test("a close look begins where somebody was last", () => {
    const past = course(
      { marks: [mark("2025-09-20", { read_l: 5 })] },
      { begins: "2025-04-01", until: "2026-03-31", whole: true },
    );
    const whole = { from: "2025-04-01", to: "2026-03-31" };
    const { from, to } = closeSpan(whole, stepsToLast(past, whole));
    expect(from <= "2025-09-20" && "2025-09-20" <= to).toBe(true);
    expect(stepsToLast(course({}), whole)).toBe(closeSteps(whole));
  });

  test("months are named in a long span, weeks in a short one, never touching", () => {
    const long = { from: "2026-04-01", to: "2026-10-31" };
    const { x } = dayScale(long, { ...FRAME, width: 700 });
    expect(namedDays(long, 40, x)[1]).toBe("2026-05-01");
    const named = namedDays(SPAN, 15, dayScale(SPAN, FRAME).x);
    expect(named).toEqual(["2026-07-03", "2026-07-10"]);
  });
});

describe("what stands on them", () => {
  test("a visit's reading, how far it was filled, and what nobody knows", () => {
    const { marks } = levelShape(
      course({
        marks: [
          mark("2026-07-01", { read_l: 2.5, filled_to_l: 10, overflow: "ran-while-filling" }),
          mark("2026-07-02", { given_l: 4 }),
          mark("2026-07-03", { overflow: "wet-on-arrival", unsure: true }),
          mark("2026-06-30", { read_l: 1 }),
        ],
      }),
      SPAN,
      FRAME,
    );
    expect(marks.map(({ x, read, filled }) => [x, read, filled])).toEqual([
      [45, 85, 10],
      [55, null, null],
      [65, null, null],
    ]);
    expect(marks.map(({ over, unknown, wet, unsure }) => [over, unknown, wet, unsure])).toEqual([
      [true, false, false, false],
      [false, true, false, false],
      [false, false, true, true],
    ]);
  });

  test("the forecast goes on from the last morning, its band once around", () => {
    const day = (date: string, mid: number, ahead: boolean) => ({
      date,
      mid,
      low: mid - 1,
      high: mid + 1,
      ahead,
    });
    const shape = levelShape(
      course({
        believed: [
          day("2026-07-07", 6, false),
          day("2026-07-08", 5, false),
          day("2026-07-09", 4, true),
        ],
      }),
      SPAN,
      FRAME,
    );
    expect(shape.past).toEqual([
      [105, 50],
      [115, 60],
    ]);
    expect(shape.ahead).toEqual([
      [115, 60],
      [125, 70],
    ]);
    expect(shape.band).toEqual([
      [115, 50],
      [125, 60],
      [125, 80],
      [115, 70],
    ]);
  });

  test("rain stands on the floor, a dry or unknown day is nothing, the morrow is ahead", () => {
    const shape = rainShape(
      course({
        sky: [
          sky("2026-07-01", 1, 2, 20),
          sky("2026-07-02", 1, 2, null),
          sky("2026-07-03", 1, 2, 0),
          sky("2026-07-09", 1, 2, 5),
        ],
      }),
      SPAN,
      FRAME,
    );
    expect(shape.lines[0]?.value).toBe(20);
    expect(shape.columns.map(({ x, to, ahead }) => [x, to, ahead])).toEqual([
      [45, 10, false],
      [125, 85, true],
    ]);
  });

  test("rain and heat stand under the reservoir's same day", () => {
    const one = course({
      sky: [sky("2026-07-04", -2, 33, 3)],
      marks: [mark("2026-07-04", { read_l: 5 })],
    });
    const level = levelShape(one, SPAN, FRAME).marks[0]?.x;
    expect(rainShape(one, SPAN, FRAME).columns[0]?.x).toBe(level);
    expect(heatShape(one, SPAN, FRAME).columns[0]?.x).toBe(level);
    const heat = heatShape(one, SPAN, FRAME);
    const column = heat.columns[0];
    const [freeze, hot] = heat.lines;
    expect(column && freeze && column.from > freeze.y).toBe(true);
    expect(column && hot && column.to < hot.y).toBe(true);
  });

  test("plants from 1 at the foot to 5 at the top; signs are counted with the last day", () => {
    const seen = (day: string, score: number | null, signs: string[]) => ({
      record: day,
      at: `${day}T08:00:00.000Z`,
      day,
      by: "Ines",
      unsure: false,
      score,
      signs,
    });
    const one = course({
      plants: [
        seen("2026-07-01", 5, []),
        seen("2026-07-02", 1, ["wilting"]),
        seen("2026-07-03", null, ["pests", "wilting"]),
        seen("2026-07-20", 3, ["wilting"]),
      ],
    } as unknown as Partial<PlanterCourse["season"]>);
    const shape = plantsShape(one, SPAN, FRAME);
    expect(shape.scores.map(({ at }) => at)).toEqual([
      [45, 10],
      [55, 110],
    ]);
    expect(shape.signs.map(({ x }) => x)).toEqual([55, 65]);
    expect(signsSeen(one.season, SPAN)).toEqual([
      { sign: "wilting", count: 2, last: "2026-07-03" },
      { sign: "pests", count: 1, last: "2026-07-03" },
    ]);
  });
});
