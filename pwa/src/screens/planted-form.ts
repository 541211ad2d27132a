/** A planting as it stands on the screen, before it becomes a record. */

import type { PlanterCard } from "../domain/planter";
import type { PlantingBody } from "../domain/records";

export interface PlantRow {
  name: string;
  count: number | null;
}

export interface PlantingForm {
  scheme: string;
  plants: PlantRow[];
  retopped: boolean;
  note: string;
}

export const MOST_PLANTS = 40;
export const MOST_COUNT = 999;

type Grown = Pick<NonNullable<PlanterCard["planting"]>, "plants" | "counts" | "scheme"> | null;

export function emptyPlanting(): PlantingForm {
  return { scheme: "", plants: [], retopped: false, note: "" };
}

/** The form with the plants and the scheme of a planting the register knows. */
export function withPlants(form: PlantingForm, known: Grown): PlantingForm {
  if (!known) return form;
  return {
    ...form,
    scheme: known.scheme ?? "",
    plants: known.plants.map((name, at) => ({ name, count: known.counts?.[at] ?? null })),
  };
}

/** What the register plans to plant here comes filled in; what grew before is only offered. */
export function startingForm(card: PlanterCard): PlantingForm {
  return withPlants(emptyPlanting(), card.planned ?? null);
}

/** The record's body: only what was said. */
export function plantingBody(form: PlantingForm): PlantingBody {
  const plants = form.plants
    .map(({ name, count }) => ({ name: name.trim(), ...(count ? { count } : {}) }))
    .filter((one) => one.name);
  const body: PlantingBody = {};
  if (plants.length) body.plants = plants;
  if (form.scheme.trim()) body.scheme = form.scheme.trim();
  if (form.retopped) body.retopped = true;
  if (form.note.trim()) body.note = form.note.trim();
  return body;
}
