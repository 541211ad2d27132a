/** Plans of planting day as last worked out: on the day itself there may be no signal. */

import type { KeptPlan, PlantingPlan } from "../domain/planting";
import { changed, withPhone } from "./database";

const key = (scope: string) => `plan ${scope}`;

/** The plan last kept for this scope, or undefined. */
export async function readPlan(scope: string): Promise<PlantingPlan | undefined> {
  const kept = await withPhone((db) => db.get("town", key(scope)));
  return (kept as KeptPlan | undefined)?.plan;
}

/** Keeps a plan in place of the one before it. */
export async function keepPlan(plan: PlantingPlan): Promise<void> {
  await withPhone((db) => db.put("town", { id: key(plan.scope), plan }));
  changed("town");
}
