/**
 * A day's rounds as the server last said them, with this phone's own unsent records laid over: the
 * server's own rules (domain/round_course.py) for skip, hand-over, addition and check-in. No figure
 * is worked out here but what is left in the tank.
 */

import type { OutboxEntry } from "./outbox";
import type { CardStop, Named, PlanterCard, RoundCard } from "./planter";
import {
  type CheckInBody,
  type RoundBody,
  roundKey,
  type StopBody,
  type WithdrawalBody,
} from "./records";
import { onServerClock } from "./time";

/** What the overlay has to know beside cards and records. */
export interface Naming {
  people: readonly Named[];
  planters: ReadonlyMap<string, Pick<PlanterCard, "name" | "site">>;
  /** Server less phone time [ms]. */
  offset: number;
  /** The town's day a moment falls on. */
  dayOf: (at: Date) => string;
}

/** A round's day and person: characters 6 to 15, and from 17 on. */
export function readKey(key: string): { day: string; person: string } {
  return { day: key.slice(6, 16), person: key.slice(17) };
}

/** A round that nobody planned. */
export function emptyRound(day: string, person: Named): RoundCard {
  return {
    id: roundKey(day, person.id),
    seq: 0,
    day,
    person,
    told_at: null,
    state: "planned",
    mode: "foot",
    tank_l: null,
    most_minutes: null,
    start_tap: null,
    takes_min: 0,
    litres_l: 0,
    walk_m: 0,
    drive_m: 0,
    back_m: 0,
    refills: 0,
    cautions: [],
    hours: null,
    stops: [],
    handed_on: [],
  };
}

function newStop(planter: string, naming: Naming): CardStop {
  const card = naming.planters.get(planter);
  return {
    planter,
    name: card?.name ?? planter,
    site: card?.site ? { id: card.site.id, name: card.site.name } : { id: "", name: "" },
    litres_l: null,
    low_l: null,
    high_l: null,
    minutes: null,
    way_m: null,
    new_leg: false,
    refill_at: null,
    loads: 1,
    tank_left_l: null,
    must: false,
    chance: null,
    why: [],
    added: true,
    state: "to-do",
    by: null,
    at: null,
    record: null,
    reason: null,
    note: null,
    handed_by: null,
  };
}

/** The rounds of one day while own records are laid over them. */
class Day {
  rounds: RoundCard[];

  constructor(
    readonly day: string,
    cards: readonly RoundCard[],
    readonly naming: Naming,
  ) {
    this.rounds = structuredClone(cards.filter((card) => card.day === day));
  }

  of(person: string): RoundCard | undefined {
    return this.rounds.find((round) => round.person.id === person);
  }

  /** The person's round, made when nobody planned one; undefined for an unknown person. */
  roundFor(person: string): RoundCard | undefined {
    const there = this.of(person);
    if (there) return there;
    const named = this.naming.people.find((one) => one.id === person);
    if (!named) return undefined;
    const made = emptyRound(this.day, named);
    this.rounds.push(made);
    return made;
  }

  holder(planter: string): RoundCard | undefined {
    return this.rounds.find((round) => round.stops.some((stop) => stop.planter === planter));
  }

  stop(planter: string): CardStop | undefined {
    return this.holder(planter)?.stops.find((stop) => stop.planter === planter);
  }

  skip(body: StopBody, entry: OutboxEntry, at: string): void {
    const { person } = readKey(body.round);
    const holder = this.holder(entry.planter);
    if (holder && holder.person.id !== person) return;
    const stop = this.stop(entry.planter) ?? this.join(entry.planter, person);
    if (!stop || stop.state === "done") return;
    Object.assign(stop, {
      state: "skipped",
      by: entry.by,
      at,
      record: entry.id,
      reason: body.reason ?? null,
      note: body.note ?? null,
    });
  }

  private join(planter: string, person: string): CardStop | undefined {
    const made = newStop(planter, this.naming);
    this.roundFor(person)?.stops.push(made);
    return this.stop(planter);
  }

  /** A hand-over or an addition: the last one decides whose it is. */
  move(body: StopBody, entry: OutboxEntry): void {
    const person = body.what === "handed" ? body.to : readKey(body.round).person;
    const holder = this.holder(entry.planter);
    if (!person || holder?.person.id === person) return;
    const target = this.roundFor(person);
    if (!target) return;
    const was = this.stop(entry.planter);
    const moved = was ?? newStop(entry.planter, this.naming);
    for (const round of this.rounds)
      round.stops = round.stops.filter((stop) => stop.planter !== entry.planter);
    const told = this.rounds.find(
      (round) =>
        round.handed_on.some((one) => one.planter === entry.planter) ||
        (round === holder && was && !was.added),
    );
    const state = moved.state === "done" ? "done" : "to-do";
    if (told) {
      told.handed_on = told.handed_on.filter((one) => one.planter !== entry.planter);
      if (told !== target)
        told.handed_on.push({ planter: moved.planter, name: moved.name, to: target.person, state });
    }
    target.stops.push({
      ...moved,
      added: told !== target,
      handed_by: body.what === "handed" || was ? entry.by : null,
      note: body.note ?? null,
      ...(state === "done" ? {} : { state, by: null, at: null, record: entry.id, reason: null }),
    });
  }

  /** A stop is done by its check-in; the first one counts, and beats a skip. */
  visit(body: CheckInBody, entry: OutboxEntry, at: string): void {
    const stop =
      this.stop(entry.planter) ??
      (body.round ? this.join(entry.planter, readKey(body.round).person) : undefined);
    if (!stop || stop.state === "done") return;
    Object.assign(stop, { state: "done", by: entry.by, at, record: entry.id, reason: null });
    for (const round of this.rounds)
      for (const one of round.handed_on) if (one.planter === entry.planter) one.state = "done";
  }

  mark(body: RoundBody, at: string): void {
    const round = this.roundFor(readKey(body.round).person);
    if (!round) return;
    const hours = round.hours ?? {
      minutes: 0,
      exact_min: null,
      by_hand: false,
      under_way: false,
      started_at: null,
      ended_at: null,
    };
    if (body.what === "hours") {
      round.hours = { ...hours, by_hand: true, minutes: body.minutes ?? 0 };
    } else if (body.what === "started") {
      round.hours = {
        ...hours,
        under_way: true,
        started_at: hours.started_at ?? at,
        ended_at: null,
      };
      round.state = "under-way";
    } else {
      round.hours = { ...hours, under_way: false, ended_at: at };
      round.state = "ended";
    }
  }

  /** A skip taken back is to do again; whose a stop is after a hand-over taken back, the server says. */
  takeBack(record: string): void {
    for (const round of this.rounds)
      for (const stop of round.stops)
        if (stop.record === record && stop.state !== "to-do")
          Object.assign(stop, { state: "to-do", by: null, at: null, record: null, reason: null });
  }
}

function dayFor(entry: OutboxEntry, naming: Naming): string {
  const named = (entry.body as { round?: string }).round;
  if (named) return readKey(named).day;
  return naming.dayOf(onServerClock(entry.saved_at, naming.offset));
}

/** True while the server's cards cannot contain this record. */
function unknown(entry: OutboxEntry, cards: readonly RoundCard[], day: string): boolean {
  if (entry.fixed_by || entry.outcome === "held") return false;
  if (entry.state !== "sent" || entry.seq === null) return true;
  const seq = entry.seq;
  const named = (entry.body as { round?: string }).round;
  const holding = cards.filter(
    (card) =>
      card.id === named ||
      (card.day === day && card.stops.some((stop) => stop.planter === entry.planter)),
  );
  return !holding.some((card) => card.seq > seq);
}

/** A day's rounds of everybody, own records that the server has not folded in yet laid over. */
export function roundsOf(
  day: string,
  cards: readonly RoundCard[],
  entries: readonly OutboxEntry[],
  naming: Naming,
): RoundCard[] {
  const shown = new Day(day, cards, naming);
  const waiting = entries
    .filter((entry) => entry.kind === "withdrawal" || dayFor(entry, naming) === day)
    .filter((entry) => unknown(entry, cards, day))
    .sort((one, other) => one.saved_at - other.saved_at || one.n - other.n);
  const back = new Set(
    entries
      .filter((entry) => entry.kind === "withdrawal" && !entry.fixed_by)
      .map((entry) => (entry.body as WithdrawalBody).replaces),
  );
  for (const record of back) shown.takeBack(record);
  const standing = waiting.filter((entry) => !back.has(entry.id));
  for (const entry of standing) {
    const at = onServerClock(entry.saved_at, naming.offset).toISOString();
    if (entry.kind === "round") shown.mark(entry.body as RoundBody, at);
    if (entry.kind !== "stop") continue;
    const body = entry.body as StopBody;
    if (body.what === "skipped") shown.skip(body, entry, at);
    else shown.move(body, entry);
  }
  for (const entry of standing)
    if (entry.kind === "check-in") {
      const at = onServerClock(entry.saved_at, naming.offset).toISOString();
      shown.visit(entry.body as CheckInBody, entry, at);
    }
  return shown.rounds.sort((one, other) => one.person.name.localeCompare(other.person.name));
}

/**
 * Litres left in the tank: full at the start and after each tap, less what was poured; where
 * that is not known, less what was planned. A guide, never below nothing.
 */
export function tankLeft(round: RoundCard, poured: ReadonlyMap<string, number>): number | null {
  if (round.tank_l === null) return null;
  let left = round.tank_l;
  for (const stop of round.stops) {
    if (stop.state !== "done") continue;
    if (stop.refill_at) left = round.tank_l;
    left -= poured.get(stop.record ?? "") ?? stop.litres_l ?? 0;
  }
  return Math.max(0, left);
}
