/** Lengths, weights and money as they are typed and written, in the chosen units. */

import { number, volumeUnit, weight } from "./index";

const CM_IN_AN_INCH = 2.54; // exact
const M_IN_A_FOOT = 0.3048; // exact
const KG_IN_A_POUND = 0.45359237; // exact
const G_IN_AN_OUNCE = 28.349523125; // exact
const LITRES_IN_A_CUBIC_FOOT = 28.316846592; // exact
const FEET_IN_A_MILE = 5280; // exact
const NBSP = "\u00a0";

const us = () => volumeUnit() === "gal";
const cut = (value: number, digits: number) => Number(value.toFixed(digits));

/** The units things are typed in, as short words. */
export function typedUnits(): { length: string; weight: string; room: string } {
  return us()
    ? { length: "in", weight: "lb", room: "ft³" }
    : { length: "cm", weight: "kg", room: "L" };
}

/** A length, e.g. "60 cm" or "23.6 in". */
export function length(cm: number): string {
  return us() ? `${number(cm / CM_IN_AN_INCH, 1)}${NBSP}in` : `${number(cm, 1)}${NBSP}cm`;
}

/** What a scale bar counts in [m]. */
export function barUnit(): number {
  return us() ? M_IN_A_FOOT : 1;
}

/** A way over the ground as one would say it: "8 m", "240 m", "1.2 km", "35 ft", "0.4 mi". */
export function distance(m: number): string {
  const small = us() ? m / M_IN_A_FOOT : m;
  if (small >= 1000) {
    const large = us() ? small / FEET_IN_A_MILE : small / 1000;
    return `${number(large, 1)}${NBSP}${us() ? "mi" : "km"}`;
  }
  const step = small < 20 ? 1 : small < 100 ? (us() ? 5 : 1) : 10;
  return `${number(Math.round(small / step) * step)}${NBSP}${us() ? "ft" : "m"}`;
}

/** Feed, e.g. "520 g", "1.2 kg", "13.2 oz" or "21 lb". */
export function feedWeight(grams: number): string {
  const ounces = grams / G_IN_AN_OUNCE;
  if (us()) return ounces < 16 ? `${number(ounces, 1)}${NBSP}oz` : loadWeight(grams / 1000);
  return grams < 1000 ? `${number(grams)}${NBSP}g` : `${number(grams / 1000, 2)}${NBSP}kg`;
}

/** A light weight to a tenth, e.g. "22.5 kg"; heavy ones need none. */
export function loadWeight(kg: number): string {
  if (kg >= 100) return weight(kg);
  return us() ? `${number(kg / KG_IN_A_POUND, 1)}${NBSP}lb` : `${number(kg, 1)}${NBSP}kg`;
}

/** Mix and goods by the room they take, e.g. "1,930 L" or "68 ft³". */
export function room(litres: number): string {
  return us()
    ? `${number(litres / LITRES_IN_A_CUBIC_FOOT, 1)}${NBSP}ft³`
    : `${number(litres)}${NBSP}L`;
}

/** Money in the town's own word for it. */
export function money(amount: number, currency: string): string {
  const shown = amount.toFixed(2);
  return currency ? `${shown}${NBSP}${currency}` : shown;
}

const factors = {
  length: () => (us() ? CM_IN_AN_INCH : 1),
  weight: () => (us() ? KG_IN_A_POUND : 1),
  room: () => (us() ? LITRES_IN_A_CUBIC_FOOT : 1),
  /** A price is for one unit, so it goes the other way. */
  price: () => (us() ? 1 / KG_IN_A_POUND : 1),
};

export type Measure = keyof typeof factors;

/** What stands in the field for a number of the wire; empty for none. */
export function measureTyped(what: Measure, value: number | null | undefined): string {
  return value == null ? "" : String(us() ? cut(value / factors[what](), 2) : value);
}

/**
 * What was typed as it is sent: cm, kg, litres, or the price of a kilogram; null for nothing. A
 * field that still shows what `was` there sends just that, so that no rounding creeps in.
 */
export function measureFrom(
  what: Measure,
  typed: string,
  was: number | null | undefined,
): number | null {
  if (typed.trim() === "") return null;
  if (was != null && typed === measureTyped(what, was)) return was;
  return us() ? cut(Number(typed) * factors[what](), 4) : Number(typed);
}
