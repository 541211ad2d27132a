/** How water, levels and visits are said in words. Pure: types and texts only. */

import type { FlagDecision, PlanterCard, Visit, WaterCard } from "../domain/planter";
import { readKey } from "../domain/rounds";
import { besideItsKind, type Litres, readAndLeft, readingLitres } from "../domain/water";
import {
  dayOf,
  dayWords,
  litresFrom,
  litresTyped,
  number,
  t,
  tn,
  today,
  volume,
  volumeNumber,
  volumeUnit,
  when,
  word,
} from "../i18n";

import { plantsWords } from "./wording-care";

const NBSP = "\u00a0";
/** The server looks no further. */
const DAYS_LOOKED_AHEAD = 40;

/** The nearest of the five marks, in a word: "half". */
export function levelWord(level: number): string {
  const marks = ["empty", "quarter", "half", "three-quarters", "full"];
  return word("level", marks[Math.round(level * 4)] ?? "half").toLowerCase();
}

/** An expected amount as a person would pour it: whole litres or half gallons. */
function poured(litres: number): number {
  const step = volumeUnit() === "gal" ? 0.5 : 1;
  return Math.round(litresTyped(litres) / step) * step;
}

export interface Expected {
  /** What one tap records [L]. */
  litres_l: number;
  /** "8 L". */
  litres: string;
  /** "6 to 10 L" and, where the unit stands above it, "6 to 10". */
  range: string;
  short: string;
}

/** Litres up to the overflow, ready-worded; null stays null. */
export function toPour(mark: Litres | null): Expected | null {
  if (!mark) return null;
  const unit = volumeUnit();
  const low = number(poured(mark.low_l), 1);
  const high = number(poured(mark.high_l), 1);
  const short = low === high ? high : t("app.water.range", { low, high });
  return {
    litres_l: litresFrom(poured(mark.litres_l)),
    litres: `${number(poured(mark.litres_l), 1)}${NBSP}${unit}`,
    range: `${short}${NBSP}${unit}`,
    short,
  };
}

/** What a reading of this mark means in litres up to the overflow. */
export function expectedTopUp(
  card: PlanterCard,
  level: number | null | undefined,
): Expected | null {
  return toPour(readingLitres(card, level));
}

/** What is in the reservoir, without pretending to know it to the cup. */
export function leftWords(litres_l: number, likely = false): string {
  const litres = `${number(poured(litres_l), 1)}${NBSP}${volumeUnit()}`;
  return t(likely ? "app.water.likely_left" : "app.water.left", { litres });
}

/** What was read today and left so, without water given. */
export function readToday(card: PlanterCard): number | null {
  const level = readAndLeft(card);
  return level && dayOf(level.at) === today() ? level.value : null;
}

/** Litres a day with their range: "2.3 L, 1.8 to 2.9". */
export function dailyUse(water: WaterCard): string | null {
  const { mid, low, high } = water.use_l_day;
  if (mid === null) return null;
  const range =
    low === null || high === null
      ? ""
      : `, ${t("app.water.range", { low: volumeNumber(low), high: volumeNumber(high) })}`;
  return `${volume(mid)}${range}`;
}

/** When plants feel the want of water, nobody filling: "in 9 days, 6 to 14". */
export function stressWords(water: WaterCard): string | null {
  const { mid, low, high } = water.days_to_stress;
  const whole = (days: number) => number(Math.max(0, Math.round(days)));
  const late = t("app.water.beyond", { days: number(DAYS_LOOKED_AHEAD) });
  if (mid === null) {
    if (low === null) return t("app.water.stress_late", { days: number(DAYS_LOOKED_AHEAD) });
    return t("app.water.stress_not_before", {
      days: whole(low),
      horizon: number(DAYS_LOOKED_AHEAD),
    });
  }
  if (mid < 1) return t("app.water.stress_now");
  const range = t("app.water.range", {
    low: whole(low ?? mid),
    high: high === null ? late : whole(high),
  });
  return `${tn("app.water.stress_in", Math.round(mid))}, ${range}`;
}

/** "15 % above its kind", from the planters like it. */
export function peersWords(water: WaterCard): string | null {
  const away = besideItsKind(water);
  if (away === null) return null;
  if (away === 0) return t("app.water.peers_like");
  return t(away > 0 ? "app.water.peers_above" : "app.water.peers_below", {
    percent: `${number(Math.abs(away))}${NBSP}%`,
  });
}

function waterSaid(visit: Visit): string[] {
  const said: string[] = [];
  if (visit.level !== null) said.push(t("app.visit.found", { level: levelWord(visit.level) }));
  if (visit.litres_l !== null) said.push(t("app.visit.given", { litres: volume(visit.litres_l) }));
  if (visit.overhead_l !== null) {
    said.push(t("app.visit.overhead", { litres: volume(visit.overhead_l) }));
  }
  if (visit.overflow === "ran-while-filling") said.push(t("app.visit.overflow_ran"));
  if (visit.overflow === "wet-on-arrival") said.push(t("app.visit.overflow_wet"));
  return said;
}

function plantedWords(planting: NonNullable<Visit["planting"]>): string {
  const { scheme, retopped } = planting;
  const plants = plantsWords(planting);
  const what = [scheme, plants].filter(Boolean).join(": ");
  return [
    what ? t("app.visit.planted", { what }) : t("app.visit.planted_unnamed"),
    retopped ? t("app.visit.retopped") : "",
  ]
    .filter(Boolean)
    .join(", ");
}

function saltSaid({ ec }: Visit): string[] {
  if (!ec) return [];
  return [t("app.visit.ec", { value: number(ec.ms_cm, 2), method: word("ec_method", ec.method) })];
}

/** A visit in one line: "found half, 8 L given, overflow ran, plants 4, wilting, fed". */
export function visitWords(visit: Visit): string {
  if (visit.report) {
    return [word("report_what", visit.report.what), visit.report.text].filter(Boolean).join(": ");
  }
  if (visit.planting) return plantedWords(visit.planting);
  const said = visit.step
    ? [
        visit.step.outcome === "not-needed"
          ? t("app.visit.not_needed", { step: visit.step.title })
          : visit.step.title,
      ]
    : waterSaid(visit);
  if (visit.plants !== null) said.push(t("app.visit.plants", { score: visit.plants }));
  said.push(...visit.signs.map((sign) => word("sign", sign).toLowerCase()));
  said.push(...visit.done.map((act) => word("done", act).toLowerCase()));
  if (visit.plug !== "not-looked") {
    said.push(t("app.visit.plug", { state: word("plug", visit.plug).toLowerCase() }));
  }
  said.push(...saltSaid(visit));
  return said.length ? said.join(", ") : t("app.visit.nothing");
}

/** What was decided about a flag, by whom, and until when. */
export function decisionWords(decision: FlagDecision): string {
  const by = decision.by;
  switch (decision.decision) {
    case "handed":
      return t("app.planter.handed", { by, to: decision.to ?? "" });
    case "not-a-problem":
      return decision.until
        ? t("app.planter.not_a_problem", { by, until: dayWords(decision.until) })
        : t("app.planter.not_a_problem_now", { by });
    case "settled":
      return t("app.planter.settled", { by });
    case "next-round":
      return decision.round
        ? t("app.planter.on_round", { by, day: dayWords(readKey(decision.round).day) })
        : t("app.planter.on_next_round", { by });
    default:
      return t("app.planter.seen_by", { by, when: when(decision.at) });
  }
}
