import { afterEach, describe, expect, it } from "vitest";
import { configure } from "../src/i18n";
import {
  distance,
  feedWeight,
  length,
  measureFrom,
  measureTyped,
  room,
} from "../src/i18n/measures";

// Exact factors, NIST SP 811 App. B: 1 in = 2.54 cm, 1 lb = 0.45359237 kg, 1 ft³ = 28.316846592 L.
describe("measures as they are typed", () => {
  afterEach(() => configure({ units: "metric" }));

  it("sends what was there when nothing was typed, whatever the field rounds to", () => {
    configure({ units: "us" });
    expect(measureTyped("length", 104)).toBe("40.94");
    expect(measureFrom("length", "40.94", 104)).toBe(104);
    expect(measureFrom("length", "41", 104)).toBe(104.14);
    expect(measureFrom("length", " ", 104)).toBeNull();
  });

  it("turns inches, pounds and cubic feet into cm, kg and litres", () => {
    configure({ units: "us" });
    expect(measureFrom("length", "23.62", null)).toBeCloseTo(59.9948, 4);
    expect(measureFrom("weight", "47", null)).toBeCloseTo(21.3188, 4);
    expect(measureFrom("room", "2", null)).toBeCloseTo(56.6337, 4);
    // 3.40 a pound is 7.4957 a kilogram.
    expect(measureFrom("price", "3.4", null)).toBeCloseTo(7.4957, 4);
    expect([length(60), room(56.633693184)]).toEqual(["23.6\u00a0in", "2\u00a0ft³"]);
    expect([feedWeight(375), feedWeight(9540)]).toEqual(["13.2\u00a0oz", "21\u00a0lb"]);
    expect([distance(11.1), distance(1.2)]).toEqual(["35\u00a0ft", "4\u00a0ft"]); // 1 ft = 0.3048 m
  });

  it("leaves metric numbers as they are typed", () => {
    expect(measureFrom("length", "60.5", null)).toBe(60.5);
    expect(measureTyped("weight", null)).toBe("");
    expect([feedWeight(375), feedWeight(9540)]).toEqual(["375\u00a0g", "9.54\u00a0kg"]);
  });
});
