/** The check-in as it stands on the screen: what may be half said, before it becomes a record. */

import { fromMicro, type LastFed } from "../domain/feeding";
import type { Level, PlanterCard } from "../domain/planter";
import type {
  CheckInBody,
  Done,
  EcMethod,
  LitresHow,
  Overflow,
  Plug,
  ReadBy,
  Sign,
} from "../domain/records";
import type { Litres } from "../domain/water";
import { LITRES_IN_A_GALLON } from "../i18n";

export interface CheckInForm {
  /** Missing: not chosen yet. null: can't tell. */
  level?: Level | null;
  read_by: ReadBy | null;
  litres_l: number | null;
  litres_how: LitresHow | null;
  overhead_l: number | null;
  overflow: Overflow | null;
  plants: number | null;
  signs: Sign[];
  done: Done[];
  feed_what: string;
  feed_strength: string;
  feed_ppm_n: number | null;
  feed_l: number | null;
  ec_method: EcMethod | null;
  ec_ms_cm: number | null;
  plug: Plug | null;
  note: string;
  /** When the hose was opened, by the phone's clock [ms]. */
  hose_from: number | null;
  /** The tap the hose hangs on, its flow as just timed [L/min], and when a bucket was begun [ms]. */
  hose_tap: string | null;
  hose_flow: number | null;
  bucket_from: number | null;
  /** The round it is or was made on. */
  round: string | null;
  /** Photos the server or the outbox already has: when correcting. */
  old_photos: string[];
}

/** Beyond this share of the reservoir an amount is asked about: more has run out than stayed. */
const FAR_MORE_THAN_IT_HOLDS = 1.5;

export function emptyForm(): CheckInForm {
  return {
    read_by: null,
    litres_l: null,
    litres_how: null,
    overhead_l: null,
    overflow: null,
    plants: null,
    signs: [],
    done: [],
    feed_what: "",
    feed_strength: "",
    feed_ppm_n: null,
    feed_l: null,
    ec_method: null,
    ec_ms_cm: null,
    plug: null,
    note: "",
    hose_from: null,
    hose_tap: null,
    hose_flow: null,
    bucket_from: null,
    round: null,
    old_photos: [],
  };
}

function isMark(level: number): level is Level {
  return [0, 0.25, 0.5, 0.75, 1].includes(level);
}

/** A recorded check-in laid out again, to be corrected. */
export function formFrom(body: CheckInBody): CheckInForm {
  const form: CheckInForm = {
    ...emptyForm(),
    read_by: body.read_by ?? null,
    litres_l: body.litres_l ?? null,
    litres_how: body.litres_how ?? null,
    overhead_l: body.overhead_l ?? null,
    overflow: body.overflow ?? null,
    plants: body.plants ?? null,
    signs: [...(body.signs ?? [])],
    done: [...(body.done ?? [])],
    feed_what: body.feed?.what ?? "",
    feed_strength: body.feed?.strength ?? "",
    feed_ppm_n: body.feed?.ppm_n ?? null,
    feed_l: body.feed?.litres_l ?? null,
    ec_method: body.ec?.method ?? null,
    ec_ms_cm: body.ec?.ms_cm ?? null,
    plug: body.plug ?? null,
    note: body.note ?? "",
    round: body.round ?? null,
    old_photos: [...(body.photos ?? [])],
  };
  if (typeof body.level === "number" && isMark(body.level)) form.level = body.level;
  return form;
}

/** The record's body: only what was said. Photos are added when it is saved. */
export function bodyFrom(form: CheckInForm): CheckInBody {
  const body: CheckInBody = { photos: [...form.old_photos] };
  if (typeof form.level === "number") {
    body.level = form.level;
    if (form.read_by) body.read_by = form.read_by;
  }
  if (form.litres_l !== null) {
    body.litres_l = form.litres_l;
    body.litres_how = form.litres_how ?? "typed";
  }
  if (form.overhead_l !== null) body.overhead_l = form.overhead_l;
  if (form.overflow) body.overflow = form.overflow;
  if (form.plants !== null) body.plants = form.plants;
  if (form.signs.length) body.signs = form.signs;
  if (form.done.length) body.done = form.done;
  const fed = form.done.includes("fed");
  const feed: CheckInBody["feed"] = {};
  if (form.feed_what.trim()) feed.what = form.feed_what.trim();
  if (form.feed_strength.trim()) feed.strength = form.feed_strength.trim();
  if (form.feed_ppm_n !== null) feed.ppm_n = form.feed_ppm_n;
  if (form.feed_l !== null) feed.litres_l = form.feed_l;
  if (fed && Object.keys(feed).length) body.feed = feed;
  if (form.ec_method && form.ec_ms_cm !== null) {
    body.ec = { method: form.ec_method, ms_cm: form.ec_ms_cm };
  }
  if (form.plug) body.plug = form.plug;
  if (form.note.trim()) body.note = form.note.trim();
  return body;
}

/** A level chosen: a planter's own gauge is how it was read, unless the person says otherwise. */
export function withLevel(form: CheckInForm, level: Level | null, card: PlanterCard): CheckInForm {
  const own = card.gauge === "none" ? null : card.gauge;
  return { ...form, level, read_by: form.read_by ?? (level === null ? null : own) };
}

/** Filled until the overflow ran, with this many litres if they are known. */
export function filledToOverflow(form: CheckInForm, litres: number | null): CheckInForm {
  return {
    ...form,
    overflow: "ran-while-filling",
    litres_l: litres ?? form.litres_l,
    litres_how: "to-overflow",
    hose_from: null,
  };
}

export function isFilled(form: CheckInForm): boolean {
  return form.overflow === "ran-while-filling" && form.litres_how === "to-overflow";
}

/** The same tap again takes the filling back. */
export function notFilled(form: CheckInForm): CheckInForm {
  return { ...form, overflow: null, litres_l: null, litres_how: null };
}

/** The hose closed: litres from its seconds at the measured flow. */
export function afterHose(form: CheckInForm, seconds: number, flow: number): CheckInForm {
  const litres = Math.round((seconds / 60) * flow * 10) / 10;
  const before = form.litres_how === "hose-timer" ? (form.litres_l ?? 0) : 0;
  return { ...form, litres_l: before + litres, litres_how: "hose-timer", hose_from: null };
}

export type Question =
  | "far_more"
  | "gallons"
  | "litres"
  | "nothing_said"
  | "plug_out_full"
  | "fed_early"
  | "fed_dry"
  | "ec_micro"
  | "ec_half";

/** Gallons typed as litres, or litres as gallons: filled to the overflow, a factor 3.8 off. */
function otherUnit(form: CheckInForm, expected: Litres | null): "gallons" | "litres" | null {
  const told = form.litres_l;
  if (!told || !expected || form.overflow !== "ran-while-filling") return null;
  const fits = (litres: number) => litres >= expected.low_l && litres <= expected.high_l;
  if (told < expected.low_l / 2 && fits(told * LITRES_IN_A_GALLON)) return "gallons";
  if (told > expected.high_l * 2 && fits(told / LITRES_IN_A_GALLON)) return "litres";
  return null;
}

/** What to ask before saving. A question never blocks: the person was there, we were not. */
export function questionsFor(
  form: CheckInForm,
  card: PlanterCard,
  photos: number,
  fed: LastFed | null = null,
  expected: Litres | null = null,
): Question[] {
  const asked: Question[] = [];
  const unit = otherUnit(form, expected);
  if (unit) asked.push(unit);
  const flushed = form.done.includes("flushed");
  const most = card.reservoir_l * FAR_MORE_THAN_IT_HOLDS;
  const farMore = form.litres_l !== null && form.litres_l > most && !flushed;
  if (farMore && !unit) asked.push("far_more");
  const pulled = form.plug === "out" || form.plug === "missing";
  if (pulled && (form.level === 1 || form.overflow === "ran-while-filling")) {
    asked.push("plug_out_full");
  }
  if (form.done.includes("fed")) {
    if (fed?.early) asked.push("fed_early");
    if (form.signs.includes("dry-mix") || form.signs.includes("wilting")) asked.push("fed_dry");
  }
  if (fromMicro(form.ec_ms_cm) !== null) asked.push("ec_micro");
  else if ((form.ec_method === null) !== (form.ec_ms_cm === null)) asked.push("ec_half");
  const said = Object.keys(bodyFrom(form)).length > 1 || form.old_photos.length + photos > 0;
  if (!said) asked.push("nothing_said");
  return asked;
}
