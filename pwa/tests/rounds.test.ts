/** A day's rounds on the phone: the server's cards, and own records it has not folded in yet. */

import { describe, expect, test } from "vitest";
import type { OutboxEntry } from "../src/domain/outbox";
import type { CardStop, RoundCard } from "../src/domain/planter";
import type { AnyBody, Kind } from "../src/domain/records";
import { emptyRound, type Naming, readKey, roundsOf, tankLeft } from "../src/domain/rounds";

const DAY = "2026-08-10";
const ANA = { id: "u-ana", name: "Ana" };
const BEN = { id: "u-ben", name: "Ben" };
const MINE = `round-${DAY}-u-ana`;
const NAMING: Naming = {
  people: [ANA, BEN],
  planters: new Map([["p-9", { name: "Yard 9", site: { id: "s-1", name: "Yard" } }]]) as never,
  offset: 60_000,
  dayOf: (at) => at.toISOString().slice(0, 10),
};

let made = 0;
function entry(kind: Kind, planter: string, body: AnyBody, more: Partial<OutboxEntry> = {}) {
  made += 1;
  return {
    ...{ id: `r-${made}`, kind, planter, person: ANA.id, by: "Ana", n: made, wall: "" },
    ...{ saved_at: Date.parse(`${DAY}T09:00:00Z`) + made * 1000, text: "", body, photos: [] },
    ...{ state: "queued", outcome: null, note: null, seq: null, confirmed_at: null },
    ...{ not_before: 0, problem: null, fixed_by: null },
    ...more,
  } as OutboxEntry;
}

function stop(planter: string, more: Partial<CardStop> = {}): CardStop {
  return {
    ...{ planter, name: planter, site: { id: "s-1", name: "Yard" }, litres_l: 10 },
    ...{ low_l: 8, high_l: 12, minutes: 5, way_m: 40, new_leg: false, refill_at: null },
    ...{ loads: 1, tank_left_l: null, must: true, chance: 0.3, why: ["Dry soon."], added: false },
    ...{ state: "to-do", by: null, at: null, record: null, reason: null, note: null },
    ...{ handed_by: null },
    ...more,
  } as CardStop;
}

function card(person: typeof ANA, ...stops: CardStop[]): RoundCard {
  return { ...emptyRound(DAY, person), seq: 5, stops };
}

const CARDS = [card(ANA, stop("p-1"), stop("p-2")), card(BEN, stop("p-3"))];

/** Holder and state of every stop. */
function held(rounds: RoundCard[]): Record<string, [string, string]> {
  const all = rounds.flatMap((round) =>
    round.stops.map((one) => [one.planter, [round.person.name, one.state]] as const),
  );
  expect(new Set(all.map(([planter]) => planter)).size).toBe(all.length);
  return Object.fromEntries(all) as Record<string, [string, string]>;
}

const lay = (...entries: OutboxEntry[]) => roundsOf(DAY, CARDS, entries, NAMING);

describe("own records laid over the cards", () => {
  test("nothing waiting: the cards as they came, and not the same objects", () => {
    const shown = lay();
    expect(shown).toEqual(CARDS);
    expect(shown[0]).not.toBe(CARDS[0]);
    expect(roundsOf("2026-08-11", CARDS, [], NAMING)).toEqual([]);
  });

  test("a check-in does a stop, whoever holds it, by the server's clock", () => {
    const visit = entry("check-in", "p-3", { level: 0.5 });
    const shown = lay(visit);
    expect(held(shown)["p-3"]).toEqual(["Ben", "done"]);
    const at = shown[1]?.stops[0]?.at;
    expect(at).toBe(new Date(visit.saved_at + NAMING.offset).toISOString());
  });

  test("a check-in that names the round joins it; one that does not is no stop", () => {
    expect(held(lay(entry("check-in", "p-9", { round: MINE })))["p-9"]).toEqual(["Ana", "done"]);
    expect(held(lay(entry("check-in", "p-9", {})))["p-9"]).toBeUndefined();
  });

  test("only the holder skips a stop, and a visit beats a skip", () => {
    const skip = (planter: string) =>
      entry("stop", planter, { round: MINE, what: "skipped", reason: "blocked" });
    expect(held(lay(skip("p-1")))["p-1"]).toEqual(["Ana", "skipped"]);
    expect(held(lay(skip("p-3")))["p-3"]).toEqual(["Ben", "to-do"]);
    const done = entry("check-in", "p-1", { round: MINE });
    expect(held(lay(done, skip("p-1")))["p-1"]).toEqual(["Ana", "done"]);
  });

  test("the last hand-over or addition decides, and the stop is in one round", () => {
    const hand = entry("stop", "p-1", { round: MINE, what: "handed", to: BEN.id });
    const shown = lay(hand);
    expect(held(shown)["p-1"]).toEqual(["Ben", "to-do"]);
    expect(shown[0]?.handed_on).toEqual([{ planter: "p-1", name: "p-1", to: BEN, state: "to-do" }]);
    const back = entry("stop", "p-1", { round: MINE, what: "added" });
    const again = lay(hand, back);
    expect(held(again)["p-1"]).toEqual(["Ana", "to-do"]);
    expect(again[0]?.handed_on).toEqual([]);
  });

  test("a hand-over to nobody we know keeps the stop", () => {
    const hand = entry("stop", "p-1", { round: MINE, what: "handed", to: "u-gone" });
    expect(held(lay(hand))["p-1"]).toEqual(["Ana", "to-do"]);
  });

  test("a planter added on site has its name, and a round nobody planned is made for it", () => {
    const shown = roundsOf(DAY, [], [entry("stop", "p-9", { round: MINE, what: "added" })], NAMING);
    expect(shown.map((round) => round.id)).toEqual([MINE]);
    expect(shown[0]?.stops[0]).toMatchObject({ name: "Yard 9", added: true, state: "to-do" });
  });

  test("a skip taken back is to do again", () => {
    const skip = entry("stop", "p-1", { round: MINE, what: "skipped", reason: "no-time" });
    const back = entry("withdrawal", "p-1", { replaces: skip.id, reason: "slip" } as AnyBody);
    expect(held(lay(skip, back))["p-1"]).toEqual(["Ana", "to-do"]);
  });

  test("begin, end and minutes by hand show at once", () => {
    const mark = (what: "started" | "ended" | "hours", minutes?: number) =>
      entry("round", "town", { round: MINE, what, ...(minutes ? { minutes } : {}) });
    const begun = lay(mark("started"))[0];
    expect([begun?.state, begun?.hours?.under_way]).toEqual(["under-way", true]);
    const over = lay(mark("started"), mark("ended"), mark("hours", 45))[0];
    expect(over?.state).toBe("ended");
    expect(over?.hours).toMatchObject({ under_way: false, by_hand: true, minutes: 45 });
  });
});

describe("what the server has folded in already", () => {
  const skip = (more: Partial<OutboxEntry>) =>
    entry("stop", "p-1", { round: MINE, what: "skipped", reason: "other" }, more);

  test("a record older than the card is not laid over it again", () => {
    expect(held(lay(skip({ state: "sent", outcome: "stored", seq: 4 })))["p-1"]?.[1]).toBe("to-do");
  });

  test("a record newer than the card still is, sent or not", () => {
    expect(held(lay(skip({ state: "sent", outcome: "stored", seq: 9 })))["p-1"]?.[1]).toBe(
      "skipped",
    );
    expect(held(lay(skip({ state: "sending" })))["p-1"]?.[1]).toBe("skipped");
  });

  test("a record that was held or put right elsewhere is not", () => {
    expect(held(lay(skip({ outcome: "held" })))["p-1"]?.[1]).toBe("to-do");
    expect(held(lay(skip({ fixed_by: "r-0" })))["p-1"]?.[1]).toBe("to-do");
  });
});

describe("the tank", () => {
  const round = (...stops: CardStop[]) => ({ ...card(ANA, ...stops), tank_l: 40 });
  const done = (planter: string, more: Partial<CardStop> = {}) =>
    stop(planter, { state: "done", record: `v-${planter}`, ...more });

  test("falls by what was poured, by the plan where that is not known", () => {
    const poured = new Map([["v-p-1", 13]]);
    expect(tankLeft(round(done("p-1"), done("p-2"), stop("p-3")), poured)).toBe(40 - 13 - 10);
  });

  test("is full again after a tap, and never below nothing", () => {
    const poured = new Map([["v-p-1", 60]]);
    expect(tankLeft(round(done("p-1")), poured)).toBe(0);
    expect(tankLeft(round(done("p-1"), done("p-2", { refill_at: "w-1" })), poured)).toBe(30);
  });

  test("is nothing to speak of without one", () => {
    expect(tankLeft(card(ANA, done("p-1")), new Map())).toBeNull();
  });
});

test("a key reads back", () => {
  expect(readKey(MINE)).toEqual({ day: DAY, person: "u-ana" });
});
