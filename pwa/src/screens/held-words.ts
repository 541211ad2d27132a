/** What a held record says, in the words of a visit: a coordinator does not read JSON. */

import { visitWords } from "../components/wording";
import { plantsWords } from "../components/wording-care";
import type { HeldItem, PlanterCard, Visit } from "../domain/planter";
import type { PlantingBody } from "../domain/records";
import { t, word } from "../i18n";

const NOTHING_SAID = {
  level: null,
  litres_l: null,
  overhead_l: null,
  overflow: "not-looked",
  plants: null,
  signs: [],
  done: [],
  plug: "not-looked",
  step: null,
  report: null,
} as unknown as Visit;

interface HeldBody extends Partial<Visit> {
  check_in?: Partial<Visit>;
  step?: never;
  note?: string;
}

function stepTitle(code: string, cards: readonly PlanterCard[]): string {
  const lists = cards[0]?.lists;
  const steps = lists ? [...lists.winterization.steps, ...lists.start_up.steps] : [];
  return steps.find((step) => step.code === code)?.title ?? code;
}

function plantingWords({ plants = [], scheme }: PlantingBody): string {
  const names = plants.map((one) => one.name);
  const counts = plants.map((one) => one.count ?? null);
  return [scheme, plantsWords({ plants: names, counts })].filter(Boolean).join(": ");
}

function bodyWords(kind: string, body: HeldBody, cards: readonly PlanterCard[]): string {
  const { step, what, text, decision } = body as Record<string, unknown>;
  switch (kind) {
    case "step":
      return stepTitle(String(step), cards);
    case "report":
      return [word("report_what", String(what)), text].filter(Boolean).join(": ");
    case "decision":
      return word("decision", String(decision));
    case "withdrawal":
      return "";
    case "planting":
      return plantingWords(body as unknown as PlantingBody);
    default:
      return visitWords({ ...NOTHING_SAID, ...(body.check_in ?? body), step: null, report: null });
  }
}

/** "Check-in: plants 2, broken or missing" and the note, if any; the bare text if unreadable. */
export function heldWords(item: HeldItem, cards: readonly PlanterCard[]): string[] {
  try {
    const record = JSON.parse(item.text) as { kind: string; body?: HeldBody };
    const body = record.body ?? {};
    const said = bodyWords(record.kind, body, cards);
    const kind = word("kind", record.kind);
    const note = body.check_in?.note ?? body.note;
    return [said ? `${kind}: ${said}` : kind, note ? t("app.visit.note", { note }) : ""].filter(
      Boolean,
    );
  } catch {
    return [item.text];
  }
}
