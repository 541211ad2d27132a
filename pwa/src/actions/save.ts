/** Saving a record: kept on this phone first, then the bell is rung. Never waits for the network. */

import type { FreshPhoto, OutboxEntry } from "../domain/outbox";
import {
  type CheckInBody,
  type DecisionBody,
  newCheckIn,
  newCorrection,
  newDecision,
  newPlanting,
  newRound,
  newStep,
  newStop,
  newWithdrawal,
  type Pen,
  type PlantingBody,
  type RoundBody,
  type StepBody,
  type StopBody,
} from "../domain/records";
import { ring } from "../store/bell";
import { type Appended, type AppendOptions, append, appendAll } from "../store/outbox";

export type { Appended, AppendOptions } from "../store/outbox";
export { NobodyJoined, StoreFull } from "../store/outbox";

async function rung(saving: Promise<Appended>): Promise<Appended> {
  const saved = await saving;
  // The first save is the moment the phone is worth asking to keep our storage.
  void globalThis.navigator?.storage?.persist?.().catch(() => false);
  ring("saved");
  return saved;
}

function shas(photos: FreshPhoto[]): string[] {
  return photos.map((photo) => photo.sha);
}

/** Keeps one visit. Resolves when it is durable: then, and only then, say "saved on this phone". */
export function saveCheckIn(
  planter: string,
  body: CheckInBody,
  photos: FreshPhoto[] = [],
  options: AppendOptions = {},
): Promise<Appended> {
  const whole = { ...body, photos: shas(photos) };
  return rung(append((pen) => newCheckIn(pen, planter, whole), photos, options));
}

/** Keeps a whole check-in in place of `replaces`. Photos already sent stay named in body.photos. */
export function saveCorrection(
  planter: string,
  replaces: string,
  body: CheckInBody,
  photos: FreshPhoto[] = [],
  options: AppendOptions = {},
): Promise<Appended> {
  const check_in = { ...body, photos: [...(body.photos ?? []), ...shas(photos)] };
  return rung(
    append((pen) => newCorrection(pen, planter, { replaces, check_in }), photos, options),
  );
}

/** Takes an own record back. */
export function saveWithdrawal(planter: string, replaces: string, reason = ""): Promise<Appended> {
  return rung(append((pen) => newWithdrawal(pen, planter, { replaces, reason }), []));
}

/** Keeps one step of winterization or start-up. */
export function saveStep(
  planter: string,
  body: StepBody,
  photos: FreshPhoto[] = [],
  options: AppendOptions = {},
): Promise<Appended> {
  const whole = { ...body, photos: shas(photos) };
  return rung(append((pen) => newStep(pen, planter, whole), photos, options));
}

/** Keeps what was planted just now. */
export function savePlanting(
  planter: string,
  body: PlantingBody,
  photos: FreshPhoto[] = [],
  options: AppendOptions = {},
): Promise<Appended> {
  const whole = { ...body, photos: shas(photos) };
  return rung(append((pen) => newPlanting(pen, planter, whole), photos, options));
}

/** Keeps a coordinator's decision about a flag, with the records the flag rested on. */
export function saveDecision(planter: string, body: DecisionBody): Promise<Appended> {
  return rung(append((pen) => newDecision(pen, planter, body), []));
}

/** Keeps a decision about each of several flags, all in one go: each is a record of its own. */
export async function saveDecisions(
  some: readonly { planter: string; body: DecisionBody }[],
): Promise<OutboxEntry[]> {
  const made = await appendAll(
    some.map((one) => (pen: Pen) => newDecision(pen, one.planter, one.body)),
  );
  ring("saved");
  return made;
}

/** Takes several own records back, all in one go. */
export async function takeBack(entries: readonly OutboxEntry[]): Promise<void> {
  await appendAll(
    entries.map(
      (one) => (pen: Pen) => newWithdrawal(pen, one.planter, { replaces: one.id, reason: "" }),
    ),
  );
  ring("saved");
}

/** Keeps that a round began or ended, or its minutes as put right by hand. */
export function saveRound(body: RoundBody): Promise<Appended> {
  return rung(append((pen) => newRound(pen, body), []));
}

/** Keeps that a stop was skipped, handed on, or added. */
export function saveStop(planter: string, body: StopBody): Promise<Appended> {
  return rung(append((pen) => newStop(pen, planter, body), []));
}
