/** What a site plan shows of which cards, in which order; where cards come from an older server. */

import { describe, expect, test } from "vitest";
import type { PlanterCard, Town } from "../src/domain/planter";
import { partAround, placedPicture, siteView, townView } from "../src/screens/siteplan-view";

const SITE = { id: "s-1", name: "Yard" };
const NONE = new Map();
const DAY = "2026-10-20";

/** A planter so many metres east of the first one. */
function card(name: string, east: number | null, more: Record<string, unknown> = {}): PlanterCard {
  const place =
    east === null ? null : { lat: 46.5, lon: east / 76_753, north_m: 111_161, east_m: 76_753 };
  return {
    id: name,
    name,
    code: null,
    old_codes: [],
    status: "in-use",
    site: SITE,
    flags: [],
    state: { last_visit: null },
    planting: null,
    water: null,
    place,
    ...more,
  } as unknown as PlanterCard;
}

const urgent = (urgency: string) => ({ flags: [{ urgency, quiet: false, code: "x", name: "X" }] });
const names = (view: ReturnType<typeof siteView>) => view.placed.map((one) => one.row.card.name);

describe("a site", () => {
  const cards = [
    card("Yard 1", 0),
    card("Yard 2", 10, urgent("watch")),
    card("Yard 3", 40, urgent("today")),
    card("Yard 4", null, urgent("today")),
    card("Yard 5", 42, { status: "retired" }),
    card("Gate 1", 5, { site: { id: "s-2", name: "Gate" } }),
  ];
  const view = siteView(SITE, cards, NONE, undefined, DAY, null);

  test("its planters in the order of the list, without those of other sites and retired ones", () => {
    expect(names(view)).toEqual(["Yard 3", "Yard 2", "Yard 1"]);
    expect(view.placed.map((one) => one.short)).toEqual(["3", "2", "1"]);
    expect(view.unplaced.map((one) => one.name)).toEqual(["Yard 4"]);
    expect(view.count).toBe(3);
  });

  test("each with its nearest neighbour and the middle of all", () => {
    const [third] = view.placed;
    expect(third?.nearest?.name).toBe("Yard 2");
    expect(third?.nearest?.far_m).toBeCloseTo(30);
    const middle = (view.middle?.east ?? 0) - (view.placed[2]?.at.east ?? 0);
    expect(middle).toBeCloseTo(50 / 3);
  });

  test("a part of it: those around a planter, no others; the whole keeps its count", () => {
    const part = partAround(view.placed, ["Yard 1", "Yard 2"]);
    expect(part).toEqual({ near: "Yard 2", within: 10 });
    const some = siteView(SITE, cards, NONE, undefined, DAY, part);
    expect(names(some)).toEqual(["Yard 2", "Yard 1"]);
    expect(some.count).toBe(3);
    expect(partAround(view.placed, [])).toBeNull();
    expect(partAround(view.placed, ["Yard 1"])).toBeNull();
  });

  test("cards of an older server have no place, and the town's no pictures", () => {
    const old = { ...card("Yard 1", null) } as Partial<PlanterCard>;
    delete old.place;
    const shown = siteView(SITE, [old as PlanterCard], NONE, {} as Town, DAY, null);
    expect([shown.placed, shown.unplaced.length]).toEqual([[], 1]);
    expect(placedPicture({} as Town, "s-1")).toBeNull();
    expect(placedPicture(undefined, "s-1")).toBeNull();
  });

  test("taps of the site that have a position", () => {
    const tap = (id: string, site: string, lat: number | null) => ({ id, site, lat, lon: 0 });
    const town = { taps: [tap("a", "s-1", 46.5), tap("b", "s-2", 46.5), tap("c", "s-1", null)] };
    const found = siteView(SITE, cards, NONE, town as never, DAY, null).taps;
    expect(found.map(({ tap: one }) => one.id)).toEqual(["a"]);
  });
});

test("the town: sites by what is urgent, those without a planter left out", () => {
  const at = (id: string) => ({ site: { id, name: id } });
  const cards = [
    card("a1", 0, at("a")),
    card("b1", 90, { ...at("b"), ...urgent("this-week") }),
    card("b2", null, { ...at("b"), ...urgent("today") }),
    card("c1", null, { ...at("c"), ...urgent("today") }),
    card("c2", null, { ...at("c"), ...urgent("today") }),
  ];
  const sites = ["a", "b", "c", "empty"].map((id) => ({ id, name: id }));
  const view = townView(sites, cards);
  expect(view.sites.map((one) => [one.id, one.count, one.urgent])).toEqual([
    ["c", 2, [["today", 2]]],
    [
      "b",
      2,
      [
        ["today", 1],
        ["this-week", 1],
      ],
    ],
    ["a", 1, []],
  ]);
  expect(view.sites.map((one) => one.at?.east)).toEqual([undefined, expect.closeTo(90), 0]);
});

test("a picture counts once it is placed", () => {
  const plan = { scope: "s-1", photo: "aa", fit: null };
  expect(placedPicture({ plans: [plan] } as never, "s-1")).toBeNull();
  const placed = { ...plan, fit: { lat: 46.5 } };
  expect(placedPicture({ plans: [placed] } as never, "s-1")?.plan.photo).toBe("aa");
  expect(placedPicture({ plans: [placed] } as never, "town")).toBeNull();
});
