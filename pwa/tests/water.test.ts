/** Which litres a volunteer is told to expect, and when the forecast no longer counts. */

import { describe, expect, test } from "vitest";
import type { OutboxEntry } from "../src/domain/outbox";
import type { PlanterCard, WaterCard } from "../src/domain/planter";
import {
  addDays,
  atOdds,
  besideItsKind,
  emptyOn,
  emptySoon,
  expectedLitres,
  forecastLitres,
  freshWater,
  readAndLeft,
} from "../src/domain/water";

const TODAY = "2026-07-20";

function aWater(extra: Partial<WaterCard> = {}): WaterCard {
  const top_up = Array.from({ length: 15 }, (_, n) => ({
    date: addDays(TODAY, n),
    litres_l: 8 + n,
    low_l: 7 + n,
    high_l: 9 + n,
  }));
  const none = { mid: null, low: null, high: null };
  return { as_of: TODAY, top_up, days_to_empty: none, peers: null, ...extra } as WaterCard;
}

function aCard(water: WaterCard | null | undefined): PlanterCard {
  const top_up = [
    { level: 0, litres_l: 16, low_l: 14, high_l: 18 },
    { level: 0.5, litres_l: 8, low_l: 5, high_l: 11 },
    { level: 1, litres_l: 0, low_l: 0, high_l: 2 },
  ];
  return { id: "p-1", seq: 5, top_up, water } as unknown as PlanterCard;
}

const entry = (kind: string) => ({ kind, planter: "p-1" }) as OutboxEntry;
const litres = (one: { litres_l: number } | null) => one?.litres_l ?? null;

describe("days", () => {
  test("pass over the end of a month, a leap day and a year", () => {
    expect(addDays("2026-10-31", 1)).toBe("2026-11-01");
    expect(addDays("2028-02-28", 1)).toBe("2028-02-29");
    expect(addDays("2027-01-01", -1)).toBe("2026-12-31");
  });
});

describe("litres to expect", () => {
  test("before anybody looked: the forecast of that very day", () => {
    const water = aWater();
    expect(litres(expectedLitres(aCard(water), water, TODAY, undefined))).toBe(8);
    expect(litres(expectedLitres(aCard(water), water, addDays(TODAY, 3), null))).toBe(11);
  });

  test("beyond the days carried: only what is read", () => {
    const water = aWater();
    const late = addDays(TODAY, 15);
    expect(forecastLitres(water, addDays(TODAY, 14))).not.toBeNull();
    expect(expectedLitres(aCard(water), water, late, undefined)).toBeNull();
    expect(litres(expectedLitres(aCard(water), water, late, 0))).toBe(16);
  });

  test("a reading the forecast agrees with: the narrower of the two", () => {
    const water = aWater();
    expect(expectedLitres(aCard(water), water, TODAY, 0.5)).toMatchObject({ low_l: 7, high_l: 9 });
    const wide = aWater({ top_up: [{ date: TODAY, litres_l: 8, low_l: 1, high_l: 15 }] });
    expect(expectedLitres(aCard(wide), wide, TODAY, 0.5)).toMatchObject({ low_l: 5, high_l: 11 });
  });

  test("a reading it does not agree with is believed, however narrow the forecast", () => {
    const water = aWater();
    expect(litres(expectedLitres(aCard(water), water, TODAY, 0))).toBe(16);
    expect(litres(expectedLitres(aCard(water), water, TODAY, 1))).toBe(0);
  });

  test("is at odds with what was read the same day only where it lies outside that reading", () => {
    const water = aWater();
    expect(atOdds(aCard(water), water, TODAY, 0)).toBe(true);
    expect(atOdds(aCard(water), water, TODAY, 0.5)).toBe(false);
    expect(atOdds(aCard(water), water, TODAY, null)).toBe(false);
    expect(atOdds(aCard(null), null, TODAY, 0)).toBe(false);
  });

  test("a reading stands as long as no water came with it or after it", () => {
    const level = { value: 0.25, at: `${TODAY}T06:15:00Z`, record: "r-1" };
    const seen = (visit: object, last = "r-1") =>
      readAndLeft({
        ...aCard(null),
        state: { level, last_visit: { record: last } },
        visits: [{ record: "r-1", litres_l: null, overhead_l: null, overflow: "dry", ...visit }],
      } as unknown as PlanterCard)?.value ?? null;
    expect(seen({})).toBe(0.25);
    expect(seen({ litres_l: 0 })).toBe(0.25);
    expect(seen({ litres_l: 8 })).toBeNull();
    expect(seen({ overhead_l: 2 })).toBeNull();
    expect(seen({ overflow: "ran-while-filling" })).toBeNull();
    expect(seen({ litres_how: "to-overflow" })).toBeNull();
    expect(seen({}, "r-2")).toBeNull();
  });

  test("a card of an older server, without water, still gives the reading's", () => {
    const card = aCard(undefined);
    const water = freshWater(card, []);
    expect(water).toBeNull();
    expect(litres(expectedLitres(card, water, TODAY, 0.5))).toBe(8);
    expect(expectedLitres(card, water, TODAY, undefined)).toBeNull();
  });
});

describe("the forecast", () => {
  test("does not count once this phone recorded what it does not know; a decision pours nothing", () => {
    const card = aCard(aWater());
    expect(freshWater(card, [])).toBe(card.water);
    expect(freshWater(card, [entry("decision")])).toBe(card.water);
    for (const kind of ["check-in", "correction", "withdrawal", "step"]) {
      expect(freshWater(card, [entry("decision"), entry(kind)])).toBeNull();
    }
  });

  test("names the day it runs dry, and in the list only when that is within three days", () => {
    const dry = (mid: number | null) => aWater({ days_to_empty: { mid, low: 0, high: 9 } });
    expect(emptyOn(dry(null))).toBeNull();
    expect(emptyOn(dry(0.4))).toBe(TODAY);
    expect(emptyOn(dry(3.9))).toBe("2026-07-23");
    expect(emptySoon(dry(3.9), TODAY)).toBe("2026-07-23");
    expect(emptySoon(dry(4), TODAY)).toBeNull();
    expect(emptySoon(dry(4), addDays(TODAY, 1))).toBe("2026-07-24");
    expect(emptySoon(null, TODAY)).toBeNull();
  });

  test("sets the use beside its kind in whole percent, a little apart being the same", () => {
    expect(besideItsKind(aWater({ peers: 1.153 }))).toBe(15);
    expect(besideItsKind(aWater({ peers: 0.7 }))).toBe(-30);
    expect(besideItsKind(aWater({ peers: 1.04 }))).toBe(0);
    expect(besideItsKind(aWater())).toBeNull();
  });
});
