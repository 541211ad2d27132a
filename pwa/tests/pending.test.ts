/** The screen's picture of a planter: the last card with this phone's own unsent records over it. */

import { describe, expect, test } from "vitest";
import type { OutboxEntry } from "../src/domain/outbox";
import { overlay, ownCheckIn } from "../src/domain/pending";
import type { ListStep, PlanterCard, Visit } from "../src/domain/planter";
import type { AnyBody, Kind } from "../src/domain/records";

let made = 0;
function anEntry(kind: Kind, body: AnyBody, extra: Partial<OutboxEntry> = {}): OutboxEntry {
  made += 1;
  return {
    ...{ id: `r-${made}`, kind, planter: "p-1", person: "u-ines", by: "Ines", n: made },
    ...{ wall: "", saved_at: 1_000_000 + made, text: "", body, photos: [], state: "queued" },
    ...{ outcome: null, note: null, seq: null, confirmed_at: null, not_before: 0 },
    ...{ problem: null, fixed_by: null },
    ...extra,
  } as OutboxEntry;
}

function aStep(code: string, proof: ListStep["proof"]): ListStep {
  const none = { by: null, at: null, photos: [], second: null, plug_place: null, note: null };
  const known = { asked: true, said: null, due: null, due_why: null };
  return { code, title: code, why: "", proof, state: "todo", ...none, ...known };
}

function aCard(extra: Partial<PlanterCard> = {}): PlanterCard {
  const list = { season: 2026, active: true, state: "not-begun", done: 0, of: 2, missing: [] };
  const steps = [aStep("plug-out", "photo-or-second"), aStep("mark-place", "place")];
  return {
    id: "p-1",
    seq: 100,
    visits: [{ record: "old", kind: "check-in", at: "2026-10-01T10:00:00Z", level: 0.25 } as Visit],
    flags: [{ code: "running_dry", decision: null, quiet: false }],
    state: {
      level: {
        value: 0.25,
        at: "2026-10-01T10:00:00Z",
        by: "Omar",
        read_by: "float",
        record: "old",
      },
      plug: { state: "in", at: null, by: null, place: null },
      plants: null,
      last_visit: { at: "2026-10-01T10:00:00Z", by: "Omar", record: "old" },
      last_full: null,
      last_fed: null,
      last_winter_season: null,
    },
    lists: {
      winterization: { ...list, list: "winterization", next: "plug-out", steps },
      start_up: { ...list, list: "start-up", next: null, steps: [] },
    },
    ...extra,
  } as unknown as PlanterCard;
}

describe("overlay", () => {
  test("without own records the card is shown as it is, assessed", () => {
    const view = overlay(aCard(), [], 0);
    expect(view).toEqual({ card: aCard(), waiting: [], assessed: true });
  });

  test("a check-in shows at once, by the server's clock, as not yet assessed", () => {
    const entry = anEntry("check-in", { level: 0.5, plants: 4, plug: "out" });
    const view = overlay(aCard(), [entry], 60_000);
    expect(view.assessed).toBe(false);
    expect(view.card.visits[0]).toMatchObject({ record: entry.id, level: 0.5, by: "Ines" });
    expect(view.card.state.level).toMatchObject({ value: 0.5, record: entry.id });
    expect(view.card.state.plug.state).toBe("out");
    expect(view.card.state.last_visit?.at).toBe(new Date(entry.saved_at + 60_000).toISOString());
  });

  test("an overflow that ran means full, whatever was found before", () => {
    const entry = anEntry("check-in", { level: 0.25, litres_l: 12, overflow: "ran-while-filling" });
    const { state } = overlay(aCard(), [entry], 0).card;
    expect(state.level?.value).toBe(1);
    expect(state.last_full?.by).toBe("Ines");
  });

  test("litres without an overflow move no level: the phone computes no balance", () => {
    const entry = anEntry("check-in", { litres_l: 12 });
    expect(overlay(aCard(), [entry], 0).card.state.level).toEqual(aCard().state.level);
  });

  test("a sent record counts until a card newer than its number comes", () => {
    const entry = anEntry("check-in", { level: 1 }, { state: "sent", outcome: "stored", seq: 101 });
    expect(overlay(aCard({ seq: 100 }), [entry], 0).assessed).toBe(false);
    expect(overlay(aCard({ seq: 102 }), [entry], 0).assessed).toBe(true);
  });

  test("a held record is listed as waiting but counts for nothing yet", () => {
    const held = anEntry("check-in", { level: 1 }, { state: "sent", outcome: "held", seq: 101 });
    const view = overlay(aCard(), [held], 0);
    expect(view.card.visits).toHaveLength(1);
    expect(view.waiting).toEqual([held]);
  });

  test("a refused record that was put right is not shown beside its correction", () => {
    const refused = anEntry(
      "check-in",
      { level: 1 },
      { state: "needs-attention", fixed_by: "r-x" },
    );
    expect(overlay(aCard(), [refused], 0).waiting).toEqual([]);
  });

  test("a correction changes its visit, a withdrawal takes it away", () => {
    const correction = anEntry("correction", { replaces: "old", check_in: { level: 0.75 } });
    const view = overlay(aCard(), [correction], 0);
    expect(view.card.visits[0]).toMatchObject({ record: "old", level: 0.75, corrected: true });
    expect(view.card.visits[0]?.at).toBe("2026-10-01T10:00:00Z");
    expect(view.card.state.level?.value).toBe(0.75);
    const withdrawal = anEntry("withdrawal", { replaces: "old" });
    const without = overlay(aCard(), [withdrawal], 0).card;
    expect(without.visits).toEqual([]);
    expect(without.state).toMatchObject({ level: null, last_visit: null });
  });

  test("a step without its proof stays unproven", () => {
    const step = {
      list: "winterization",
      season: 2026,
      step: "plug-out",
      outcome: "done",
    } as const;
    const bare = overlay(aCard(), [anEntry("step", step)], 0).card.lists.winterization;
    expect(bare).toMatchObject({ done: 1, next: "mark-place", state: "under-way" });
    expect(bare.steps[0]?.state).toBe("unproven");
    const seconded = anEntry("step", { ...step, second: "Omar" });
    expect(overlay(aCard(), [seconded], 0).card.lists.winterization.steps[0]?.state).toBe("done");
  });

  test("a decision stands on its flag; seen keeps it open, not a problem quiets it", () => {
    const seen = anEntry("decision", { flag: "running_dry", decision: "seen" });
    expect(overlay(aCard(), [seen], 0).card.flags[0]).toMatchObject({ quiet: false });
    const fine = anEntry("decision", { flag: "running_dry", decision: "not-a-problem" });
    expect(overlay(aCard(), [fine], 0).card.flags[0]).toMatchObject({
      quiet: true,
      decision: { decision: "not-a-problem", by: "Ines" },
    });
  });

  test("records of other planters change nothing", () => {
    const other = anEntry("check-in", { level: 1 }, { planter: "p-2" });
    expect(overlay(aCard(), [other], 0).assessed).toBe(true);
  });
});

test("a visit is corrected from its latest correction, not from the first text", () => {
  const first = anEntry("check-in", { level: 0.25 });
  const second = anEntry("correction", { replaces: first.id, check_in: { level: 0.5 } });
  expect(ownCheckIn(first.id, [first], [])).toEqual({ level: 0.25 });
  expect(ownCheckIn(first.id, [first, second], [])).toEqual({ level: 0.5 });
  expect(ownCheckIn("unknown", [first, second], [])).toBeNull();
});
