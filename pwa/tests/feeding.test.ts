/** Who fed last, and whether it is too soon: from the card and this phone's own records. */

import { expect, test } from "vitest";
import { feedHold, feedOf, fromMicro, lastFed } from "../src/domain/feeding";
import type { PlanterCard, StandingFeed, Town } from "../src/domain/planter";
import { bodyFrom, emptyForm, questionsFor } from "../src/screens/check-in-form";
import { emptyPlanting, plantingBody, startingForm, withPlants } from "../src/screens/planted-form";

const FED = { at: "2026-05-01T09:00:00Z", by: "Wim", what: null, ppm_n: 100, strength: null };
const card = (last_fed: typeof FED | null) =>
  ({ state: { last_fed }, reservoir_l: 16, gauge: "none" }) as unknown as PlanterCard;
const feed = (every_days: number | null, least_days: number) =>
  ({ every_days, least_days, doses: [] }) as unknown as StandingFeed;
const dayOf = (at: string) => at.slice(0, 10);

test("the next feed is the interval on, and too soon until a day or two before it", () => {
  const on = (today: string) => lastFed(card(FED), feed(14, 12), today, dayOf);
  expect(on("2026-05-04")).toMatchObject({ days: 3, by: "Wim", next: "2026-05-15", early: true });
  expect(on("2026-05-12")?.early).toBe(true);
  expect(on("2026-05-13")?.early).toBe(false);
});

test("without an interval there is no next day, and without a town card nothing is too soon", () => {
  const none = lastFed(card(FED), feed(null, 7), "2026-05-04", dayOf);
  expect(none).toMatchObject({ next: null, early: true });
  expect(lastFed(card(FED), null, "2026-05-04", dayOf)?.early).toBe(false);
  expect(lastFed(card(null), feed(14, 12), "2026-05-04", dayOf)).toBeNull();
});

test("cards kept from an older server say nothing of feed, and nothing breaks", () => {
  expect(feedOf({} as Town)).toBeNull();
  expect(feedOf(undefined)).toBeNull();
  expect(feedHold({} as PlanterCard)).toBeNull();
});

test("a feed too soon, or into a dry mix, is asked about once and never blocked", () => {
  const form = { ...emptyForm(), done: ["fed" as const] };
  const early = lastFed(card(FED), feed(14, 12), "2026-05-04", dayOf);
  const late = lastFed(card(FED), feed(14, 12), "2026-05-20", dayOf);
  expect(questionsFor(form, card(FED), 0, early)).toEqual(["fed_early"]);
  expect(questionsFor(form, card(FED), 0, late)).toEqual([]);
  const dry = { ...form, signs: ["dry-mix" as const] };
  expect(questionsFor(dry, card(FED), 0, late)).toEqual(["fed_dry"]);
  expect(questionsFor({ ...emptyForm(), plants: 4 }, card(FED), 0, early)).toEqual([]);
});

test("a reading in microsiemens is named as such", () => {
  // 1 mS/cm is 1000 uS/cm
  expect(fromMicro(1300)).toBe(1.3);
  expect(fromMicro(1.3)).toBeNull();
  expect(fromMicro(null)).toBeNull();
  const form = { ...emptyForm(), plants: 4, ec_method: "1:2" as const, ec_ms_cm: 1300 };
  expect(questionsFor(form, card(null), 0)).toEqual(["ec_micro"]);
  const half = { ...form, ec_ms_cm: null };
  expect(questionsFor(half, card(null), 0)).toEqual(["ec_half"]);
  expect(bodyFrom(half).ec).toBeUndefined();
  expect(bodyFrom({ ...form, ec_ms_cm: 1.3 }).ec).toEqual({ method: "1:2", ms_cm: 1.3 });
});

test("a feed is recorded with its rate and its water", () => {
  const form = { ...emptyForm(), done: ["fed" as const], feed_ppm_n: 100, feed_l: 10 };
  expect(bodyFrom(form).feed).toEqual({ ppm_n: 100, litres_l: 10 });
  expect(bodyFrom({ ...form, done: [] }).feed).toBeUndefined();
});

test("a planting says what was said and nothing else", () => {
  const known = { plants: ["ivy", "fern"], counts: [3, null], scheme: "Shade" };
  const form = withPlants(emptyPlanting(), known as PlanterCard["planting"]);
  expect(plantingBody(form)).toEqual({
    plants: [{ name: "ivy", count: 3 }, { name: "fern" }],
    scheme: "Shade",
  });
  expect(plantingBody({ ...form, plants: [{ name: "  ", count: 2 }], scheme: " " })).toEqual({});
  expect(startingForm({ planned: null, planting: known } as unknown as PlanterCard).plants).toEqual(
    [],
  );
});
