/** Where the bars of the freeze odds stand. */

import { describe, expect, test } from "vitest";
import { dayOfChance, oddsShape } from "../src/domain/freeze-odds";
import type { FreezeChance } from "../src/domain/planter";
import { daysBetween } from "../src/domain/time";

function odds(f: number, days: Record<string, string | null>): FreezeChance {
  const none = Object.fromEntries([1, 2, 3, 4, 5, 6, 7, 8, 9].map((n) => [`p${n}0`, null]));
  return { f, years: 30, share: 1, ...none, ...days, counted: none } as unknown as FreezeChance;
}

const FREEZE = odds(32, { p10: "2026-10-13", p50: "2026-11-02", p90: "2026-11-21" });
const NEVER = odds(28, {});

describe("the drawing of the odds", () => {
  test("days stand in proportion between the margins", () => {
    const shape = oddsShape([FREEZE], 0, 570, "2026-10-20");
    const x = shape?.bars[0]?.at.map((one) => one.x) ?? [];
    // 9 days of margin on both sides of 39 days: 57 days on 570 px.
    expect(x).toEqual([90, 90 + 10 * daysBetween("2026-10-13", "2026-11-02"), 480]);
    expect(shape?.now).toBe(160);
    expect(shape?.months.map((one) => one.day)).toEqual(["2026-11-01"]);
  });

  test("spring runs the other way, and its bar still goes from left to right", () => {
    const spring = odds(32, { p10: "2027-05-03", p90: "2027-03-30" });
    const at = oddsShape([spring], 0, 500, "2026-10-20")?.bars[0]?.at ?? [];
    expect(at.map((one) => one.chance)).toEqual([90, 10]);
    expect(oddsShape([spring], 0, 500, "2026-10-20")?.now).toBeNull();
  });

  test("a threshold that never came has no bar, and none at all no drawing", () => {
    expect(oddsShape([FREEZE, NEVER], 0, 500, "2026-10-20")?.bars[1]?.at).toEqual([]);
    expect(oddsShape([NEVER], 0, 500, "2026-10-20")).toBeNull();
    expect(dayOfChance(NEVER, 10)).toBeNull();
  });
});
