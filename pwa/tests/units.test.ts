/** Words of the server in the person's units, and the question a mixed-up unit earns. */

import { afterEach, describe, expect, test } from "vitest";
import { stressWords } from "../src/components/wording";
import type { PlanterCard, WaterCard } from "../src/domain/planter";
import { configure, inUnits } from "../src/i18n";
import { type CheckInForm, emptyForm, questionsFor } from "../src/screens/check-in-form";

const NBSP = "\u00a0";

afterEach(() => configure({ units: "metric" }));

describe("what the server says in litres", () => {
  const said = `About 4${NBSP}L of 16${NBSP}L left; −2${NBSP}°C forecast; 140${NBSP}kg. Lot 4 L.`;

  test("stays as it is where litres are wanted", () => {
    expect(inUnits(said)).toBe(said);
  });

  // 1 US gallon is 3.785411784 L, 1 lb 0.45359237 kg, both exact; −2 °C is 28.4 °F.
  test("is turned where gallons are, and nothing that is no figure of the server's", () => {
    configure({ units: "us" });
    const expected = `About 1.1${NBSP}gal of 4.2${NBSP}gal left; 28${NBSP}°F forecast; 309${NBSP}lb.`;
    expect(inUnits(said)).toBe(`${expected} Lot 4 L.`);
  });
});

describe("a unit mixed up at the fill port", () => {
  const card = { reservoir_l: 16 } as PlanterCard;
  const expected = { litres_l: 8, low_l: 6.5, high_l: 9.5 };
  const asked = (litres_l: number, more: Partial<CheckInForm> = {}) =>
    questionsFor(
      { ...emptyForm(), litres_l, overflow: "ran-while-filling", ...more },
      card,
      0,
      null,
      expected,
    );

  test("gallons typed as litres: 2.1 where 8 L are expected", () => {
    expect(asked(2.1)).toEqual(["gallons"]);
  });

  test("litres typed as gallons: 30.3 L where 8 L are expected, and no second question", () => {
    expect(asked(30.3)).toEqual(["litres"]);
  });

  test("an amount that fits, or one that fits in no unit, is not asked about as a unit", () => {
    expect(asked(8)).toEqual([]);
    expect(asked(4)).toEqual([]);
    expect(asked(60)).toEqual(["far_more"]);
  });

  test("a fill that stopped before the overflow may be as small as it likes", () => {
    expect(asked(2.1, { overflow: "dry" })).toEqual([]);
  });
});

describe("when plants feel the want of water", () => {
  const water = (mid: number | null, low: number | null, high: number | null) =>
    ({ days_to_stress: { mid, low, high } }) as WaterCard;

  test("a day with its range, or that it is later than anybody looked", () => {
    expect(stressWords(water(8.6, 6.2, 12.1))).toBe("in about 9 days, 6 to 12");
    expect(stressWords(water(20.2, 9, null))).toBe("in about 20 days, 9 to more than 40");
    expect(stressWords(water(null, null, null))).toBe("not within 40 days");
    expect(stressWords(water(null, 31, null))).toBe("likely not within 40 days; 31 at least");
    expect(stressWords(water(0.2, 0, 3))).toBe("today, if nobody waters");
  });
});
