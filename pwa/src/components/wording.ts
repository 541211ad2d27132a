/** How water, levels and visits are said in words. Pure: types and texts only. */

import type { FlagDecision, PlanterCard, Visit } from "../domain/planter";
import {
  dayWords,
  litresFrom,
  litresTyped,
  number,
  t,
  volume,
  volumeUnit,
  when,
  word,
} from "../i18n";

const NBSP = "\u00a0";

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

/** What a reading of this mark means in litres up to the overflow, ready-worded. */
export function expectedTopUp(
  card: PlanterCard,
  level: number | null | undefined,
): Expected | null {
  const mark = card.top_up.find((one) => one.level === level);
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

/** What the level leaves in the reservoir, without pretending to know it to the cup. */
export function leftWords(card: PlanterCard, level: number): string {
  const left = number(poured(card.reservoir_l * level), 1);
  return t("app.water.left", { litres: `${left}${NBSP}${volumeUnit()}` });
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

/** A visit in one line: "found half, 8 L given, overflow ran, plants 4, wilting, fed". */
export function visitWords(visit: Visit): string {
  if (visit.report) {
    return [word("report_what", visit.report.what), visit.report.text].filter(Boolean).join(": ");
  }
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
    default:
      return t("app.planter.seen_by", { by, when: when(decision.at) });
  }
}
