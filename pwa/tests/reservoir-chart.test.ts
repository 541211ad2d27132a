/** The chart's geometry: where days and litres stand, what is left out, what never leaves the frame. */

import { describe, expect, test } from "vitest";
import type { WaterCard } from "../src/domain/planter";
import {
  around,
  chartShape,
  type Frame,
  type Point,
  tickDays,
} from "../src/domain/reservoir-chart";
import { addDays } from "../src/domain/water";

const TODAY = "2026-07-20";
/** Ten pixels a day for 49 days, ten a litre for 10 litres. */
const FRAME: Frame = { width: 540, height: 120, left: 40, right: 10, top: 10, bottom: 10 };
const CAPACITY = 10;

function day(n: number, mid: number, low = mid, high = mid): WaterCard["series"][number] {
  return { date: addDays(TODAY, n), mid, low, high, ahead: n > 0 };
}

function mark(n: number, kind: "reading" | "fill" | "full", value_l: number) {
  return { date: addDays(TODAY, n), kind, value_l };
}

function aWater(
  series: WaterCard["series"],
  marks: WaterCard["marks"] = [],
  mid: number | null = null,
): WaterCard {
  const days_to_empty = { mid, low: null, high: null };
  return { as_of: TODAY, series, marks, days_to_empty } as unknown as WaterCard;
}

function steady(level: (n: number) => number): WaterCard["series"] {
  return Array.from({ length: 50 }, (_, n) => day(n - 35, level(n - 35)));
}

function shapeOf(water: WaterCard, capacity = CAPACITY) {
  const shape = chartShape(water, capacity, FRAME);
  if (!shape) throw new Error("nothing to draw");
  return shape;
}

const near = (points: readonly Point[] | undefined) =>
  points?.map(([x, y]) => [Math.round(x * 10) / 10, Math.round(y * 10) / 10]);

describe("the reservoir's chart", () => {
  test("real days across, litres up: full at the top line, empty on the floor", () => {
    const shape = shapeOf(aWater(steady((n) => (n <= -35 ? 10 : n === 0 ? 0 : 5))));
    expect(near(shape.past[0]?.slice(0, 2))).toEqual([
      [40, 10],
      [50, 60],
    ]);
    expect(near(shape.past[0]?.slice(-1))).toEqual([[390, 110]]);
    expect(shape.now).toBeCloseTo(390);
    expect([shape.full, shape.half, shape.floor]).toEqual([10, 60, 110]);
  });

  test("a missing day breaks the line instead of being guessed", () => {
    const series = steady(() => 5).filter((one) => one.date !== addDays(TODAY, -20));
    const { past } = shapeOf(aWater(series));
    expect(past.map((run) => run.length)).toEqual([15, 20]);
  });

  test("figures that are none are left out like missing days", () => {
    const series = steady(() => 5).map((one, n) => (n === 15 ? { ...one, mid: Number.NaN } : one));
    expect(shapeOf(aWater(series)).past).toHaveLength(2);
  });

  test("a fill stands upright on its day, to the overflow or as high as was poured", () => {
    const falling = [day(-3, 2), day(-2, 9), day(-1, 8), day(0, 7)];
    const full = shapeOf(aWater(falling, [mark(-3, "fill", 7), mark(-3, "full", 10)]));
    const x = full.x(addDays(TODAY, -3));
    expect(near(full.past[0]?.slice(0, 2))).toEqual(
      near([
        [x, 90],
        [x, 10],
      ]),
    );
    expect(near(full.fills)).toEqual(near([[x, 10]]));
    const part = shapeOf(aWater([day(-3, 2), day(-2, 5), day(0, 4)], [mark(-3, "fill", 4)]));
    expect(near(part.fills)).toEqual(near([[x, 50]]));
  });

  test("today's figure has today's fill in it already", () => {
    const shape = shapeOf(aWater([day(-1, 2), day(0, 9.5)], [mark(0, "fill", 8)]));
    expect(near(shape.fills)).toEqual(near([[shape.now, 15]]));
    expect(shape.past[0]).toHaveLength(2);
  });

  test("the forecast begins at today's figure and goes around its band", () => {
    const ahead = [day(0, 6, 5, 7), day(1, 4, 2, 6), day(2, 2, 1, 5)];
    const shape = shapeOf(aWater([day(-1, 8), ...ahead]));
    expect(near(shape.ahead)?.map(([, y]) => y)).toEqual([50, 70, 90]);
    expect(near(shape.band)?.map(([, y]) => y)).toEqual([40, 50, 60, 100, 90, 60]);
  });

  test("the forecast ends where it is dry, and so does its band", () => {
    const ahead = [day(1, 3, 1, 6), day(2, 0, 0, 3), day(3, 0, 0, 0), day(4, 0, 0, 0)];
    const shape = shapeOf(aWater([day(0, 6, 5, 7), ...ahead], [], 1.8));
    expect(shape.ahead).toHaveLength(3);
    expect(shape.band).toHaveLength(8);
  });

  test("dry is marked within the day, and not when it is later than drawn", () => {
    const series = steady((n) => Math.max(0, 5 - n));
    const dry = shapeOf(aWater(series, [], 5.5)).dry;
    expect(dry?.day).toBe("2026-07-25");
    expect(dry?.x).toBeCloseTo(445);
    expect(shapeOf(aWater(series, [], 20)).dry).toBeNull();
    expect(shapeOf(aWater(series, [], null)).dry).toBeNull();
  });

  test("one day alone is drawn wide enough to be seen, in a week", () => {
    const shape = shapeOf(aWater([day(0, 5)]));
    const [from, to] = shape.past[0] ?? [];
    expect((to?.[0] ?? 0) - (from?.[0] ?? 0)).toBeCloseTo(490 / 14);
    expect(shape.ahead).toEqual([]);
    expect(shape.now).toBeCloseTo(530);
  });

  test("all empty lies on the floor; nothing at all is not drawn", () => {
    const shape = shapeOf(
      aWater(
        steady(() => 0),
        [],
        0,
      ),
    );
    expect(shape.past[0]?.every(([, y]) => y === shape.floor)).toBe(true);
    expect(shape.dry?.x).toBe(shape.now);
    expect(chartShape(aWater([]), CAPACITY, FRAME)).toBeNull();
    expect(chartShape(aWater([day(0, 5)]), 0, FRAME)).toBeNull();
  });

  test("nothing leaves the frame, whatever the figures", () => {
    const wild = steady((n) => (n % 2 ? 25 : -3));
    const shape = shapeOf(aWater(wild, [mark(-5, "reading", 99), mark(-90, "reading", 5)], -2));
    const all = [...shape.past.flat(), ...shape.ahead, ...shape.band, ...shape.readings];
    for (const [x, y] of all) {
      expect(x).toBeGreaterThanOrEqual(FRAME.left);
      expect(x).toBeLessThanOrEqual(FRAME.width - FRAME.right);
      expect(y).toBeGreaterThanOrEqual(FRAME.top);
      expect(y).toBeLessThanOrEqual(FRAME.height - FRAME.bottom);
    }
    expect(shape.readings).toHaveLength(1);
  });

  test("the order the days come in changes nothing", () => {
    const water = aWater(
      steady((n) => Math.abs(n % 10)),
      [mark(-4, "reading", 4)],
      3,
    );
    const mixed = { ...water, series: [...water.series].reverse() };
    expect(shapeOf(mixed).past).toEqual(shapeOf(water).past);
  });

  test("days are named a week apart where there is room, two where there is not", () => {
    const water = aWater(steady(() => 5));
    const shape = shapeOf(water);
    const weeks = ["06-15", "06-22", "06-29", "07-06", "07-13", "07-27", "08-03"];
    expect(tickDays(shape, water, 60, [])).toEqual(weeks.map((one) => `2026-${one}`));
    expect(tickDays(shape, water, 80, [])).toEqual(["2026-06-22", "2026-07-06", "2026-08-03"]);
    const dry = [{ x: shape.x("2026-07-25"), room: 80 }];
    expect(tickDays(shape, water, 60, dry)).not.toContain("2026-07-27");
  });

  test("around today only the days near it are kept", () => {
    const near = around(
      aWater(
        steady(() => 5),
        [mark(-30, "fill", 3), mark(-2, "fill", 3)],
      ),
      20,
      10,
    );
    expect(near.series).toHaveLength(31);
    expect(near.marks).toHaveLength(1);
  });
});
