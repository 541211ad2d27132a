/**
 * The ground on a drawing. Metres in a degree at 46.5 degrees: series of Bowditch (H.O. 9), 111,160.6
 * and 76,753.1; the picture's numbers are worked by hand as in tests/science/test_ground.py.
 */

import { describe, expect, test } from "vitest";
import { layOut, type Mark, type Wanted } from "../src/domain/plan-marks";
import {
  isOn,
  metres,
  middleOf,
  pictureSheet,
  scaleBar,
  sheetFor,
  shortNames,
  windTo,
} from "../src/domain/site-plan";

const HERE = { lat: 46.5, lon: -38, north_m: 111_160.6, east_m: 76_753.1 };
const FIT = {
  ...HERE,
  px_per_m: 2,
  turn_deg: 90,
  x: 300,
  y: 50,
  apart_m: 100,
  across_m: 400,
  doubt_m: 5,
  corner_doubt_m: 9,
  check_off_m: null,
};

describe("metres", () => {
  test("east and north of a place", () => {
    const there = metres(HERE, { lat: 46.501, lon: -37.9987 });
    expect(there.east).toBeCloseTo(99.78, 1);
    expect(there.north).toBeCloseTo(111.16, 1);
  });

  test("over the antimeridian the short way", () => {
    const from = { ...HERE, lon: 179.999 };
    expect(metres(from, { lat: 46.5, lon: -179.999 }).east).toBeCloseTo(153.5, 1);
    expect(metres({ ...HERE, lon: -179.999 }, { lat: 46.5, lon: 179.999 }).east).toBeCloseTo(
      -153.5,
      1,
    );
  });

  test("the middle", () => {
    expect(middleOf([])).toBeNull();
    expect(
      middleOf([
        { east: 0, north: 4 },
        { east: 10, north: 0 },
      ]),
    ).toEqual({ east: 5, north: 2 });
  });
});

test("eight winds, each an eighth of a turn wide", () => {
  const from = { east: 0, north: 0 };
  const at = (degrees: number) => ({
    east: Math.sin((degrees * Math.PI) / 180),
    north: Math.cos((degrees * Math.PI) / 180),
  });
  expect([0, 22, 23, 90, 135, 181, 225, 270, 337, 338].map((one) => windTo(from, at(one)))).toEqual(
    [
      "north",
      "north",
      "north-east",
      "east",
      "south-east",
      "south",
      "south-west",
      "west",
      "north-west",
      "north",
    ],
  );
});

describe("a sheet", () => {
  const heights = { least: 200, most: 400 };

  test("shows all places, north up, in one scale", () => {
    const places = [
      { east: 0, north: 0 },
      { east: 100, north: 20 },
    ];
    const sheet = sheetFor(places, 328, heights, 48);
    expect(sheet.px_per_m).toBeCloseTo(2.32);
    expect(sheet.height).toBe(200);
    const [one, other] = places.map(sheet.spot);
    expect((other?.x ?? 0) - (one?.x ?? 0)).toBeCloseTo(232);
    expect((one?.y ?? 0) - (other?.y ?? 0)).toBeCloseTo(46.4);
    expect(places.every((place) => isOn(sheet, sheet.spot(place)))).toBe(true);
  });

  test("is no higher than allowed, and one place alone has ground around it", () => {
    const tall = sheetFor(
      [
        { east: 0, north: 0 },
        { east: 0, north: 500 },
      ],
      328,
      heights,
      48,
    );
    expect(tall.height).toBe(400);
    expect(tall.px_per_m).toBeCloseTo(304 / 500);
    const alone = sheetFor([{ east: 7, north: 7 }], 328, heights, 48);
    expect(alone.px_per_m).toBeCloseTo(232 / 20);
    expect(alone.spot({ east: 7, north: 7 })).toEqual({ x: 164, y: alone.height / 2 });
  });
});

describe("a picture", () => {
  const picture = { width: 800, height: 400 };

  test("100 m east are 200 pixels down, and north points right", () => {
    const sheet = pictureSheet(picture, FIT, HERE, 800);
    expect(sheet.spot({ east: 0, north: 0 })).toEqual({ x: 300, y: 50 });
    expect(sheet.spot({ east: 100, north: 0 }).x).toBeCloseTo(300);
    expect(sheet.spot({ east: 100, north: 0 }).y).toBeCloseTo(250);
    expect(sheet.spot({ east: 0, north: 30 }).x).toBeCloseTo(360);
    expect(sheet.turn_deg).toBe(90);
  });

  test("shown smaller everything shrinks alike, and another origin changes nothing", () => {
    const sheet = pictureSheet(picture, FIT, HERE, 400);
    expect([sheet.height, sheet.px_per_m]).toEqual([200, 1]);
    const there = { ...HERE, lat: 46.501, lon: -37.999 };
    const moved = pictureSheet(picture, FIT, there, 400);
    const planter = { lat: 46.5003, lon: -37.9991 };
    const one = sheet.spot(metres(HERE, planter));
    const other = moved.spot(metres(there, planter));
    expect(other.x).toBeCloseTo(one.x);
    expect(other.y).toBeCloseTo(one.y);
  });
});

test("a scale bar is 1, 2 or 5 of something and no longer than its room", () => {
  expect(scaleBar(2.32, 100)).toEqual({ count: 20, px: 46.4 });
  expect(scaleBar(0.02, 100)).toEqual({ count: 5000, px: 100 });
  expect(scaleBar(31, 100)).toEqual({ count: 2, px: 62 });
  const feet = scaleBar(2.32, 100, 0.3048);
  expect(feet.count).toBe(100);
  expect(feet.px).toBeCloseTo(70.7, 1);
});

test("short names are the names' own ends, or numbers in the list's order", () => {
  expect(shortNames(["Yard 3", "Yard 10"], "Yard")).toEqual(["3", "10"]);
  expect(shortNames(["Yard 3", "By the gate"], "Yard")).toEqual(["1", "2"]);
  expect(shortNames(["Yard", "Yard 2"], "Yard")).toEqual(["1", "2"]);
});

describe("marks", () => {
  const room = { width: 328, height: 280 };
  const gathered = { width: 104, height: 52 };
  const at = (id: string, x: number, y: number, width = 76): Wanted => ({
    id,
    x,
    y,
    width,
    height: 52,
  });

  function holds(marks: Mark[], wanted: Wanted[]) {
    expect(marks.flatMap((one) => one.ids).sort()).toEqual(wanted.map((one) => one.id).sort());
    for (const [i, one] of marks.entries()) {
      expect(one.left).toBeGreaterThanOrEqual(0);
      expect(one.top).toBeGreaterThanOrEqual(0);
      expect(one.left + one.width).toBeLessThanOrEqual(room.width + 0.01);
      expect(one.top + one.height).toBeLessThanOrEqual(room.height + 0.01);
      for (const other of marks.slice(i + 1)) {
        const beside =
          one.left + one.width <= other.left ||
          other.left + other.width <= one.left ||
          one.top + one.height <= other.top ||
          other.top + other.height <= one.top;
        expect(beside, `${one.ids} covers ${other.ids}`).toBe(true);
      }
    }
  }

  test("far apart they stand above their spots", () => {
    const marks = layOut([at("a", 60, 200), at("b", 260, 120)], room, gathered);
    expect(marks.map((one) => [one.left, one.top])).toEqual([
      [22, 138],
      [222, 58],
    ]);
  });

  test("close ones move aside and none is covered", () => {
    const wanted = ["a", "b", "c"].map((id, index) => at(id, 160 + 9 * index, 150));
    const marks = layOut(wanted, room, gathered);
    expect(marks).toHaveLength(3);
    holds(marks, wanted);
    expect(layOut(wanted, room, gathered)).toEqual(marks);
  });

  test("at one spot they can still be told apart", () => {
    const wanted = ["a", "b"].map((id) => at(id, 100, 100));
    const marks = layOut(wanted, room, gathered);
    expect(marks).toHaveLength(2);
    holds(marks, wanted);
  });

  test("a row along a street finds room on a phone", () => {
    const wanted = Array.from({ length: 6 }, (_, n) => at(`p${n}`, 48 + 46 * n, 150 - 6 * n, 104));
    const marks = layOut(wanted, room, gathered);
    expect(marks).toHaveLength(6);
    holds(marks, wanted);
  });

  test("where there is no room the nearest are gathered, and nobody is lost", () => {
    for (const count of [20, 47, 300]) {
      const wanted = Array.from({ length: count }, (_, n) =>
        at(`p${n}`, (n * 37) % 328, (n * 61) % 280, n % 3 ? 48 : 104),
      );
      const marks = layOut(wanted, room, gathered);
      holds(marks, wanted);
      expect(marks.length).toBeGreaterThan(2);
      expect(marks.some((one) => one.ids.length > 1)).toBe(true);
    }
  });

  test("nobody wanted, nothing drawn; in a corner a mark stays in the drawing, beside its spot", () => {
    expect(layOut([], room, gathered)).toEqual([]);
    const wanted = [at("a", 300, 10)];
    const [mark] = layOut(wanted, room, gathered);
    holds(mark ? [mark] : [], wanted);
    const beside = mark && (mark.left + mark.width < 300 || mark.top > 10 || mark.left > 300);
    expect(beside).toBe(true);
  });
});
