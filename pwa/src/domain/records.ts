/**
 * What a volunteer's tap on Save makes: one immutable record with its text frozen for ever (R1-R4).
 * Names of kinds and fields are those of the server's domain/records.py.
 */

export const LEVELS = [0, 0.25, 0.5, 0.75, 1] as const;
export const READ_BY = ["float", "dipstick", "sight-tube", "lifted-cap"] as const;
export const LITRES_HOW = ["typed", "hose-timer", "to-overflow"] as const;
export const OVERFLOW = ["not-looked", "dry", "ran-while-filling", "wet-on-arrival"] as const;
export const SIGNS = [
  "wilting",
  "yellowing",
  "soggy-mix",
  "dry-mix",
  "salt-crust",
  "pests",
  "broken",
  "vandalism",
  "bad-smell",
  "trailing-to-ground",
  "path-blocked",
  "tag-damaged",
] as const;
export const DONE = ["fed", "trimmed", "deadheaded", "flushed", "cap-closed", "cleaned"] as const;
export const PLUG = ["in", "out", "missing", "not-looked"] as const;
export const EC_METHODS = ["1:2", "saturated", "pour-through"] as const;
export const MIX = ["keep", "skim", "dump"] as const;
export const DECISIONS = ["seen", "not-a-problem", "handed", "settled", "next-round"] as const;
export const REPORT_WHAT = ["dry", "wilting", "leaking", "damaged", "blocking", "other"] as const;

export const ROUND_WHAT = ["started", "ended", "hours"] as const;
export const STOP_WHAT = ["skipped", "handed", "added"] as const;
export const SKIP_REASONS = [
  "no-time",
  "no-water",
  "not-needed",
  "blocked",
  "hazard",
  "other",
] as const;
/** Stands where the planter stands in a record of a round, which belongs to no planter. */
export const TOWN = "town";

export type LevelMark = (typeof LEVELS)[number];
export type ReadBy = (typeof READ_BY)[number];
export type LitresHow = (typeof LITRES_HOW)[number];
export type Overflow = (typeof OVERFLOW)[number];
export type Sign = (typeof SIGNS)[number];
export type Done = (typeof DONE)[number];
export type Plug = (typeof PLUG)[number];
export type Mix = (typeof MIX)[number];
export type DecisionWord = (typeof DECISIONS)[number];
export type ReportWhat = (typeof REPORT_WHAT)[number];
export type EcMethod = (typeof EC_METHODS)[number];
export type RoundWhat = (typeof ROUND_WHAT)[number];
export type StopWhat = (typeof STOP_WHAT)[number];
export type SkipReason = (typeof SKIP_REASONS)[number];
export type Kind =
  | "check-in"
  | "correction"
  | "withdrawal"
  | "step"
  | "decision"
  | "planting"
  | "round"
  | "stop";

export interface CheckInBody {
  level?: LevelMark | null;
  read_by?: ReadBy | null;
  litres_l?: number | null;
  litres_how?: LitresHow | null;
  overhead_l?: number | null;
  overflow?: Overflow;
  plants?: number | null;
  signs?: Sign[];
  done?: Done[];
  feed?: { what?: string; strength?: string; ppm_n?: number; litres_l?: number };
  ec?: { method: EcMethod; ms_cm: number };
  plug?: Plug;
  photos?: string[];
  note?: string;
  /** The round it was made on. */
  round?: string;
}
export interface CorrectionBody {
  replaces: string;
  check_in: CheckInBody;
}
export interface WithdrawalBody {
  replaces: string;
  reason?: string;
}
export interface StepBody {
  list: "winterization" | "start-up";
  season: number;
  step: string;
  outcome?: "done" | "not-needed";
  level?: LevelMark | null;
  second?: string;
  plug_place?: string;
  mix?: Mix;
  standing_water?: boolean;
  photos?: string[];
  note?: string;
}
export interface DecisionBody {
  flag: string;
  decision: DecisionWord;
  until?: string;
  to?: string;
  check_in?: string;
  evidence?: string[];
  /** With next-round: the told round it was put on, and what the flag said. */
  round?: string;
  why?: string;
  note?: string;
}
export interface PlantingBody {
  plants?: { name: string; count?: number }[];
  scheme?: string;
  retopped?: boolean;
  photos?: string[];
  note?: string;
}
export interface RoundBody {
  round: string;
  what: RoundWhat;
  minutes?: number;
  note?: string;
}
export interface StopBody {
  round: string;
  what: StopWhat;
  reason?: SkipReason;
  to?: string;
  note?: string;
}
export interface Bodies {
  "check-in": CheckInBody;
  correction: CorrectionBody;
  withdrawal: WithdrawalBody;
  step: StepBody;
  decision: DecisionBody;
  planting: PlantingBody;
  round: RoundBody;
  stop: StopBody;
}
export type AnyBody = Bodies[Kind];

/** What writing a record needs of this phone: its id, the next number, the clock and chance. */
export interface Pen {
  device: string;
  n: number;
  now: Date;
  /** Minutes east of Greenwich on this phone, as `-date.getTimezoneOffset()` gives them. */
  offset_min: number;
  random: (bytes: Uint8Array<ArrayBuffer>) => Uint8Array<ArrayBuffer>;
}

/** A record as it lies in the outbox: the frozen text, and the same thing parsed. */
export interface Frozen<K extends Kind = Kind> {
  id: string;
  kind: K;
  planter: string;
  n: number;
  wall: string;
  body: Bodies[K];
  text: string;
}

/** A UUID of version 7 (RFC 9562). Nothing ever reads the time inside it (R1). */
export function uuidv7(now: Date, random: Pen["random"]): string {
  const bytes = random(new Uint8Array(16));
  let time = now.getTime();
  for (let i = 5; i >= 0; i -= 1) {
    bytes[i] = time % 256;
    time = Math.floor(time / 256);
  }
  bytes[6] = 0x70 | ((bytes[6] ?? 0) & 0x0f);
  bytes[8] = 0x80 | ((bytes[8] ?? 0) & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    hex.slice(12, 16),
    hex.slice(16, 20),
    hex.slice(20),
  ].join("-");
}

/** The phone's own time with its offset, e.g. 2026-10-20T10:42:10.123+02:00 (R12: a claim). */
export function wallTime(now: Date, offsetMin: number): string {
  const local = new Date(now.getTime() + offsetMin * 60_000).toISOString().slice(0, -1);
  const size = Math.abs(offsetMin);
  const two = (value: number) => String(value).padStart(2, "0");
  return `${local}${offsetMin < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** Leaves out what was not said: null, undefined, empty lists and empty texts. */
function said<T extends object>(body: T): T {
  const kept = Object.entries(body).filter(
    ([, value]) =>
      value !== null &&
      value !== undefined &&
      value !== "" &&
      !(Array.isArray(value) && !value.length),
  );
  return Object.fromEntries(kept) as T;
}

function freeze<K extends Kind>(pen: Pen, kind: K, planter: string, body: Bodies[K]): Frozen<K> {
  const id = uuidv7(pen.now, pen.random);
  const wall = wallTime(pen.now, pen.offset_min);
  const text = JSON.stringify({
    v: 1,
    id,
    kind,
    planter,
    device: pen.device,
    n: pen.n,
    wall,
    body,
  });
  return { id, kind, planter, n: pen.n, wall, body, text };
}

/** One visit as the volunteer saw it. */
export function newCheckIn(pen: Pen, planter: string, body: CheckInBody): Frozen<"check-in"> {
  return freeze(pen, "check-in", planter, said(body));
}

/** The whole check-in again, as it should have been. */
export function newCorrection(
  pen: Pen,
  planter: string,
  body: CorrectionBody,
): Frozen<"correction"> {
  return freeze(pen, "correction", planter, {
    replaces: body.replaces,
    check_in: said(body.check_in),
  });
}

/** A record its author takes back. */
export function newWithdrawal(
  pen: Pen,
  planter: string,
  body: WithdrawalBody,
): Frozen<"withdrawal"> {
  return freeze(pen, "withdrawal", planter, said(body));
}

/** One step of a checklist, done at one planter for one season. */
export function newStep(pen: Pen, planter: string, body: StepBody): Frozen<"step"> {
  return freeze(pen, "step", planter, said(body));
}

/** What a coordinator decided about a flag. */
export function newDecision(pen: Pen, planter: string, body: DecisionBody): Frozen<"decision"> {
  return freeze(pen, "decision", planter, said(body));
}

/** What was planted here just now. */
export function newPlanting(pen: Pen, planter: string, body: PlantingBody): Frozen<"planting"> {
  return freeze(pen, "planting", planter, said(body));
}

/** A round begun or ended, or its minutes put right by hand. */
export function newRound(pen: Pen, body: RoundBody): Frozen<"round"> {
  return freeze(pen, "round", TOWN, said(body));
}

/** A stop skipped, handed to somebody, or added on site. */
export function newStop(pen: Pen, planter: string, body: StopBody): Frozen<"stop"> {
  return freeze(pen, "stop", planter, said(body));
}

/** The key of a person's round on a day, also of one that nobody planned. */
export function roundKey(day: string, person: string): string {
  return `round-${day}-${person}`;
}
