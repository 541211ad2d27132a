/** The review: what must be done and where, what is in hand, what changed since somebody looked. */

import { describe, expect, test } from "vitest";
import { nextRounds, ontoRound, roundFor } from "../src/domain/next-round";
import { overlay } from "../src/domain/pending";
import type { FlagCard, Looked, PlanterCard, RoundCard, Urgency } from "../src/domain/planter";
import { newDecision, newWithdrawal } from "../src/domain/records";
import { casesOf, reviewOf } from "../src/domain/review";
import { lookNow, sinceLooked } from "../src/domain/since";
import { appendAll, listOutbox } from "../src/store/outbox";
import { joined } from "./phone";

const LOOKED_AT = "2026-10-20T16:00:00.000Z";

function aFlag(act: string, urgency: Urgency, extra: Partial<FlagCard> = {}): FlagCard {
  const code = act.toLowerCase().replaceAll(" ", "_");
  const said = { sentence: `${act}, please.`, advice: "", caution: null, source: "" };
  const rest = { since: "2026-10-18", records: [`r-${code}`], decision: null, quiet: false };
  return { code, name: act, act, urgency, ...said, ...rest, ...extra };
}

function aDecision(extra: Partial<NonNullable<FlagCard["decision"]>> = {}) {
  const none = { until: null, to: null, note: null, round: null, why: null };
  return {
    decision: "seen" as const,
    by: "Ruth",
    at: LOOKED_AT,
    outdated: false,
    ...none,
    ...extra,
  };
}

function aCard(name: string, site: string, ...flags: FlagCard[]): PlanterCard {
  const state = { level: null, last_visit: null };
  const lists = { visits: [], evidence: [] };
  return {
    ...{ id: `p-${name}`, name, seq: 1, flags, state, ...lists },
    site: { id: `s-${site}`, name: site },
  } as unknown as PlanterCard;
}

const shape = (cards: PlanterCard[]) =>
  reviewOf(cards).groups.map((group) => [
    group.urgency,
    group.act,
    group.planters,
    group.sites.map((site) => [site.name, site.cases.map((one) => one.planter.name)]),
  ]);

describe("grouping", () => {
  test("planters that ask for the same stand together, by site, the most urgent first", () => {
    const pull = (urgency: Urgency) => aFlag("Pull the drain plug", urgency);
    expect(
      shape([
        aCard("Ferry 1", "Ferry", pull("watch")),
        aCard("Market 1", "Market", pull("this-week"), aFlag("Feed", "watch")),
        aCard("Market 2", "Market", pull("today")),
        aCard("Station 1", "Station", aFlag("Bring water", "this-week")),
      ]),
    ).toEqual([
      [
        "today",
        "Pull the drain plug",
        3,
        [
          ["Market", ["Market 2", "Market 1"]],
          ["Ferry", ["Ferry 1"]],
        ],
      ],
      ["this-week", "Bring water", 1, [["Station", ["Station 1"]]]],
      ["watch", "Feed", 1, [["Market", ["Market 1"]]]],
    ]);
  });

  test("two flags of one act at one planter are two cases and one planter", () => {
    const dry = aFlag("Bring water", "today", { code: "running_dry" });
    const soon = aFlag("Bring water", "watch", { code: "runs_dry_before_crew_day" });
    const [group] = reviewOf([aCard("A", "Quay", soon, dry)]).groups;
    expect(group?.planters).toBe(1);
    expect(group && casesOf(group).map((one) => one.flag.code)).toEqual([
      "running_dry",
      "runs_dry_before_crew_day",
    ]);
  });

  test("of one urgency the larger walk comes first", () => {
    const acts = shape([
      aCard("A", "Quay", aFlag("Feed", "watch")),
      aCard("B", "Quay", aFlag("Repair", "watch")),
      aCard("C", "Quay", aFlag("Repair", "watch")),
    ]).map(([, act]) => act);
    expect(acts).toEqual(["Repair", "Feed"]);
  });

  test("a flag of an older server, which names no act, stands under its own name", () => {
    const { act: _, ...old } = aFlag("Running dry", "today");
    expect(reviewOf([aCard("A", "Quay", old)]).groups[0]?.act).toBe("Running dry");
  });

  test("what was decided is in hand, and comes back when something new is seen", () => {
    const decided = aFlag("Feed", "watch", { decision: aDecision() });
    const stale = aFlag("Repair", "watch", { decision: aDecision({ outdated: true }) });
    const quiet = aFlag("Bring water", "watch", { decision: aDecision(), quiet: true });
    const review = reviewOf([aCard("A", "Quay", decided, stale, quiet)]);
    expect(review.inHand.map((one) => one.flag.act)).toEqual(["Feed"]);
    expect(review.groups.map((group) => group.act)).toEqual(["Repair"]);
    expect(review.quiet.map((one) => one.flag.act)).toEqual(["Bring water"]);
  });
});

describe("since somebody looked", () => {
  const before = [
    aCard(
      "A",
      "Quay",
      aFlag("Feed", "watch"),
      aFlag("Repair", "watch"),
      aFlag("Bring water", "today"),
    ),
    aCard("B", "Quay", aFlag("Feed", "watch", { quiet: true, decision: aDecision() })),
  ];
  const looked: Looked = { at: LOOKED_AT, seen: lookNow(before) };

  test("nothing is said before the first look, and nothing has changed right after one", () => {
    expect(sinceLooked(before, null, "Pilar")).toBeNull();
    const since = sinceLooked(before, looked, "Pilar");
    expect(since).toMatchObject({ cleared: [], decided: [] });
    expect(since?.news.size).toBe(0);
  });

  test("new, worse and back are told apart; less urgent is no news", () => {
    const now = [
      aCard(
        "A",
        "Quay",
        aFlag("Feed", "this-week"),
        aFlag("Bring water", "watch"),
        aFlag("Repair", "watch"),
        aFlag("Go and look", "watch"),
      ),
      aCard("B", "Quay", aFlag("Feed", "watch")),
    ];
    expect([...(sinceLooked(now, looked, "Pilar")?.news ?? [])]).toEqual([
      ["p-A feed", "worse"],
      ["p-A go_and_look", "new"],
      ["p-B feed", "back"],
    ]);
  });

  test("what cleared is listed, with the visit that may have done it", () => {
    const visited = aCard("A", "Quay", aFlag("Feed", "watch"));
    visited.state.last_visit = { at: "2026-10-21T07:00:00.000Z", by: "Wim", record: "r" };
    expect(sinceLooked([visited], looked, "Pilar")?.cleared).toEqual([
      {
        ...{ planter: "p-A", name: "A", flag: "Repair" },
        visit: { by: "Wim", at: "2026-10-21T07:00:00.000Z" },
      },
      {
        ...{ planter: "p-A", name: "A", flag: "Bring water" },
        visit: { by: "Wim", at: "2026-10-21T07:00:00.000Z" },
      },
    ]);
    const unvisited = aCard("A", "Quay", aFlag("Feed", "watch"), aFlag("Repair", "watch"));
    expect(sinceLooked([unvisited], looked, "Pilar")?.cleared).toEqual([
      { planter: "p-A", name: "A", flag: "Bring water", visit: null },
    ]);
    const gone = sinceLooked([], looked, "Pilar")?.cleared.map((one) => one.name);
    expect(gone).toEqual([null, null, null]);
  });

  test("what others decided since is told, one's own decisions are not", () => {
    const later = { at: "2026-10-21T07:00:00.000Z" };
    const now = [
      aCard(
        "A",
        "Quay",
        aFlag("Feed", "watch", { decision: aDecision(later) }),
        aFlag("Repair", "watch", { decision: aDecision({ ...later, by: "Pilar" }) }),
        aFlag("Bring water", "today", { decision: aDecision() }),
      ),
    ];
    const decided = sinceLooked(now, looked, "Pilar")?.decided;
    expect(decided?.map((one) => [one.flag, one.decision.by])).toEqual([["Feed", "Ruth"]]);
  });
});

describe("the next round", () => {
  const stop = (planter: string, site: string) => ({ planter, site: { id: `s-${site}` } });
  const round = (day: string, name: string, stops: unknown[], extra: object = {}): RoundCard =>
    ({
      ...{ id: `round-${day}-u-${name}`, day, person: { id: `u-${name}`, name }, stops },
      ...{ told_at: "2026-10-19T08:00:00Z", state: "planned", ...extra },
    }) as unknown as RoundCard;
  const rounds = [
    round("2026-10-22", "Zoe", [stop("p-A", "Quay")]),
    round("2026-10-21", "Joss", [stop("p-B", "Quay")]),
    round("2026-10-21", "Ana", [stop("p-C", "Mill")]),
    round("2026-10-19", "Old", [stop("p-A", "Quay")]),
  ];
  const today = "2026-10-20";

  test("is the next day for which anybody was told, with all of its people", () => {
    expect(nextRounds(rounds, today).map((one) => one.person.name)).toEqual(["Ana", "Joss"]);
    const ended = rounds.map((one) => ({ ...one, state: "ended" as const }));
    expect(nextRounds(ended, today)).toEqual([]);
    expect(nextRounds([round("2026-10-21", "X", [], { told_at: null })], today)).toEqual([]);
  });

  test("goes to whoever has the planter, else to whoever comes to its site, else to the first", () => {
    const who = (name: string, site: string) =>
      roundFor(aCard(name, site), rounds, today)?.person.name;
    expect(who("C", "Quay")).toBe("Ana");
    expect(who("A", "Quay")).toBe("Joss");
    expect(who("D", "Station")).toBe("Ana");
    expect(roundFor(aCard("A", "Quay"), [], today)).toBeNull();
  });

  test("the decision carries what the flag said, and the round if there is one", () => {
    const [group] = reviewOf([aCard("A", "Quay", aFlag("Feed", "watch"))]).groups;
    const one = group?.sites[0]?.cases[0];
    if (!one) throw new Error("no case");
    expect(ontoRound(one, rounds[1] ?? null)).toEqual({
      ...{ flag: "feed", decision: "next-round", evidence: ["r-feed"] },
      ...{ why: "Feed: Feed, please.", round: "round-2026-10-21-u-Joss" },
    });
    expect(ontoRound(one, null)).not.toHaveProperty("round");
    const long = { ...one, flag: { ...one.flag, sentence: "x".repeat(600) } };
    expect(ontoRound(long, null).why).toHaveLength(500);
  });
});

describe("many decisions at once", () => {
  test("each is a record of its own, and all of them can be taken back", async () => {
    await joined();
    const body = { flag: "feed", decision: "seen" as const };
    const made = await appendAll(
      ["p-A", "p-B", "p-C"].map((planter) => (pen) => newDecision(pen, planter, body)),
    );
    expect(made.map((entry) => [entry.planter, entry.n])).toEqual([
      ["p-A", 1],
      ["p-B", 2],
      ["p-C", 3],
    ]);
    const card = { ...aCard("A", "Quay", aFlag("Feed", "watch")), seq: 0 };
    const decided = overlay(card, await listOutbox(), 0).card;
    expect(decided.flags[0]?.decision).toMatchObject({ decision: "seen", by: "Ines" });
    await appendAll(
      made.map((one) => (pen) => newWithdrawal(pen, one.planter, { replaces: one.id })),
    );
    const back = overlay(card, await listOutbox(), 0).card;
    expect(back.flags[0]).toMatchObject({ decision: null, quiet: false });
    expect(await listOutbox()).toHaveLength(6);
  });

  test("none is kept where one cannot be made", async () => {
    await joined();
    const broken = () => {
      throw new Error("no");
    };
    const one = (pen: Parameters<typeof newDecision>[0]) =>
      newDecision(pen, "p-A", { flag: "feed", decision: "seen" });
    await expect(appendAll([one, broken])).rejects.toThrow("no");
    expect(await listOutbox()).toHaveLength(0);
  });
});
