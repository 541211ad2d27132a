/**
 * Last known card + what this phone recorded since = what the screen shows, "not yet assessed".
 * Nothing is computed here but what the volunteer said: no balance, no flag, no season's verdict.
 */

import type { OutboxEntry } from "./outbox";
import type { ListCard, ListStep, OwnRecord, PlanterCard, PlanterState, Visit } from "./planter";
import type {
  CheckInBody,
  CorrectionBody,
  DecisionBody,
  PlantingBody,
  StepBody,
  WithdrawalBody,
} from "./records";
import { onServerClock } from "./time";

export interface PlanterView {
  /** The card with the phone's own unassessed records laid over it. */
  card: PlanterCard;
  /** Records of this phone the card does not know yet, oldest first. */
  waiting: OutboxEntry[];
  /** False while there are such records: say "not yet assessed". */
  assessed: boolean;
}

/** True while the server's card cannot contain this record. A refused one stays shown, as refused. */
export function unknownTo(card: PlanterCard, entry: OutboxEntry): boolean {
  if (entry.fixed_by) return false;
  return entry.state !== "sent" || entry.seq === null || entry.seq > card.seq;
}

/** Lays this phone's unassessed records over the card. `offset` is server less phone time [ms]. */
export function overlay(
  card: PlanterCard,
  entries: readonly OutboxEntry[],
  offset: number,
): PlanterView {
  const waiting = entries
    .filter((entry) => entry.planter === card.id && unknownTo(card, entry))
    .sort((one, other) => one.saved_at - other.saved_at || one.n - other.n);
  // Nothing below changes what it is given: every layer is a new object.
  let shown = card;
  for (const entry of waiting) {
    // A held record waits for the coordinator: it counts for nothing yet.
    if (entry.outcome === "held") continue;
    shown = laid(shown, entry, onServerClock(entry.saved_at, offset).toISOString());
  }
  return { card: shown, waiting, assessed: waiting.length === 0 };
}

function laid(card: PlanterCard, entry: OutboxEntry, at: string): PlanterCard {
  switch (entry.kind) {
    case "check-in":
      return withVisit(
        card,
        visitOf(entry.body as CheckInBody, entry, at),
        entry.body as CheckInBody,
      );
    case "correction":
      return corrected(card, entry.body as CorrectionBody, entry);
    case "withdrawal":
      return withdrawn(card, entry.body as WithdrawalBody);
    case "step":
      return stepped(card, entry.body as StepBody, entry, at);
    case "decision":
      return decided(card, entry.body as DecisionBody, entry, at);
    case "planting":
      return planted(card, entry.body as PlantingBody, entry, at);
    case "round":
    case "stop":
      return card; // a round's card shows these
  }
}

function visitOf(body: CheckInBody, entry: OutboxEntry, at: string): Visit {
  const photos = body.photos ?? [];
  return {
    record: entry.id,
    kind: "check-in",
    at,
    time_uncertain: false,
    by: entry.by,
    person: entry.person,
    corrected: false,
    level: body.level ?? null,
    read_by: body.read_by ?? null,
    litres_l: body.litres_l ?? null,
    litres_how: body.litres_how ?? null,
    overhead_l: body.overhead_l ?? null,
    overflow: body.overflow ?? "not-looked",
    plants: body.plants ?? null,
    signs: [...(body.signs ?? [])],
    done: [...(body.done ?? [])],
    plug: body.plug ?? "not-looked",
    ec: body.ec ?? null,
    note: body.note ?? "",
    photos,
    photo_state: Object.fromEntries(photos.map((sha) => [sha, "on-its-way"])),
    step: null,
    report: null,
    planting: null,
  };
}

function withVisit(card: PlanterCard, visit: Visit, body: CheckInBody = {}): PlanterCard {
  const visits = [visit, ...card.visits.filter((other) => other.record !== visit.record)];
  // When the next feed is due stays for the server to say.
  const feeding = visit.done.includes("fed") ? null : (card.feeding ?? null);
  return { ...card, visits, feeding, state: stateAfter(card.state, visit, body.feed) };
}

/** What a visit says about the planter, over what was known before. */
function stateAfter(
  state: PlanterState,
  visit: Visit,
  feed: CheckInBody["feed"] = {},
): PlanterState {
  const { at, by, record } = visit;
  const next: PlanterState = { ...state, last_visit: { at, by, record } };
  const full = visit.overflow === "ran-while-filling" || visit.litres_how === "to-overflow";
  if (full) {
    next.level = { value: 1, at, by, read_by: null, record };
    next.last_full = { at, by };
  } else if (visit.level !== null) {
    next.level = { value: visit.level, at, by, read_by: visit.read_by, record };
  }
  if (visit.plants !== null) next.plants = { score: visit.plants, at, by, record };
  if (visit.plug === "in" || visit.plug === "out" || visit.plug === "missing") {
    next.plug = { ...state.plug, state: visit.plug, at, by };
  }
  if (visit.done.includes("fed")) {
    const { what = null, ppm_n = null, strength = null } = feed;
    next.last_fed = { at, by, what, ppm_n, strength };
  }
  return next;
}

/** The new plants at once; what they mean for water and feed stays for the server to say. */
function planted(
  card: PlanterCard,
  body: PlantingBody,
  entry: OutboxEntry,
  at: string,
): PlanterCard {
  const plants = (body.plants ?? []).map((one) => one.name);
  const counts = (body.plants ?? []).map((one) => one.count ?? null);
  const scheme = body.scheme ?? "";
  const { photos = [], note = "" } = body;
  const visit: Visit = {
    ...visitOf({ photos, note }, entry, at),
    kind: "planting",
    planting: { plants, counts, scheme, retopped: body.retopped ?? null },
  };
  return {
    ...card,
    visits: [visit, ...card.visits.filter((other) => other.record !== visit.record)],
    state: { ...card.state, plants: null, last_visit: { at, by: entry.by, record: entry.id } },
    planting: {
      planted_on: at.slice(0, 10),
      plants,
      counts,
      scheme,
      by: entry.by,
      record: entry.id,
    },
    establishment: null,
    feeding: null,
  };
}

function corrected(card: PlanterCard, body: CorrectionBody, entry: OutboxEntry): PlanterCard {
  const old = card.visits.find((visit) => visit.record === body.replaces);
  if (!old) return card;
  const put = { ...visitOf(body.check_in, entry, old.at), record: old.record, corrected: true };
  const visits = card.visits.map((visit) => (visit === old ? put : visit));
  const latest = card.state.last_visit?.record === old.record;
  return {
    ...card,
    visits,
    state: latest ? stateAfter(card.state, put, body.check_in.feed) : card.state,
  };
}

function withdrawn(card: PlanterCard, body: WithdrawalBody): PlanterCard {
  const visits = card.visits.filter((visit) => visit.record !== body.replaces);
  const planting = card.planting?.record === body.replaces ? null : card.planting;
  const flags = card.flags.map((flag) =>
    flag.decision?.record === body.replaces ? { ...flag, decision: null, quiet: false } : flag,
  );
  const state = stateWithout(card.state, body.replaces, visits[0]);
  return { ...card, visits, planting, flags, state };
}

/** What only the visit taken back had said is not known until the server has folded again. */
function stateWithout(state: PlanterState, record: string, latest?: Visit): PlanterState {
  const left = <T extends { record: string }>(mark: T | null) =>
    mark?.record === record ? null : mark;
  const before = latest ? { at: latest.at, by: latest.by, record: latest.record } : null;
  return {
    ...state,
    level: left(state.level),
    plants: left(state.plants),
    last_visit: left(state.last_visit) ?? before,
  };
}

function stepState(step: ListStep, body: StepBody): ListStep["state"] {
  if (body.outcome === "not-needed") return "not-needed";
  const shown = Boolean(body.photos?.length);
  if (step.proof === "photo-or-second") return shown || body.second ? "done" : "unproven";
  if (step.proof === "place") return body.plug_place ? "done" : "unproven";
  return "done";
}

function stepped(card: PlanterCard, body: StepBody, entry: OutboxEntry, at: string): PlanterCard {
  const key = body.list === "start-up" ? "start_up" : "winterization";
  const list = card.lists[key];
  const steps = list.steps.map((step) =>
    step.code === body.step
      ? {
          ...step,
          state: stepState(step, body),
          by: entry.by,
          at,
          photos: [...(body.photos ?? [])],
          second: body.second ?? null,
          plug_place: body.plug_place ?? null,
          note: body.note ?? null,
        }
      : step,
  );
  return { ...card, lists: { ...card.lists, [key]: counted(list, steps) } };
}

/** Counts again; whether the list proves anything stays for the server to say. */
function counted(list: ListCard, steps: ListStep[]): ListCard {
  // What is shown only because it was recorded is not counted; an older card does not say.
  const asked = steps.filter((step) => step.asked !== false);
  return {
    ...list,
    steps,
    done: asked.filter((step) => step.state !== "todo").length,
    next: asked.find((step) => step.state === "todo")?.code ?? null,
    state: list.state === "not-begun" ? "under-way" : list.state,
  };
}

function decided(
  card: PlanterCard,
  body: DecisionBody,
  entry: OutboxEntry,
  at: string,
): PlanterCard {
  const decision = {
    decision: body.decision,
    by: entry.by,
    at,
    until: body.until ?? null,
    to: body.to ?? null,
    note: body.note ?? null,
    record: entry.id,
    round: body.round ?? null,
    why: body.why ?? null,
    outdated: false,
  };
  const quiet = body.decision === "not-a-problem" || body.decision === "settled";
  const flags = card.flags.map((flag) =>
    flag.code === body.flag ? { ...flag, decision, quiet: flag.quiet || quiet } : flag,
  );
  return { ...card, flags };
}

/** A visit's check-in as its author may correct it: from this phone's outbox or own records. */
export function ownCheckIn(
  record: string,
  entries: readonly OutboxEntry[],
  own: readonly OwnRecord[],
): CheckInBody | null {
  const corrections = [
    ...own.map((one) => JSON.parse(one.text) as { id: string; kind: string; body: unknown }),
    ...entries,
  ].filter((one) => one.kind === "correction" || one.id === record);
  let body: CheckInBody | null = null;
  for (const one of corrections) {
    if (one.kind === "check-in") body ??= one.body as CheckInBody;
    const correction = one.body as CorrectionBody;
    if (one.kind === "correction" && correction.replaces === record) body = correction.check_in;
  }
  return body;
}
