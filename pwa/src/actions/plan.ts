/** Planting day: what it rests on is changed online; the plan is kept on this phone. */

import { type Answer, ask } from "../api/client";
import type { components } from "../api/schema";
import type {
  Asset,
  Materials,
  PlanRegister,
  PlanterSize,
  PlantingPlan,
  Scheme,
} from "../domain/planting";
import { keepPlan } from "../store/plans";

type Shapes = components["schemas"];
export type SizeBody = Shapes["SizeBody"];
export type SchemeBody = Shapes["SchemeBody"];
export type MaterialsBody = Shapes["MaterialsBody"];
export type AssetBody = Shapes["AssetBody"];

const at = (id: string) => encodeURIComponent(id);
const from = (version: number) => ({ "If-Match": `"${version}"` });

/** Sizes, schemes, materials, assets. */
export function readPlanRegister(): Promise<Answer<PlanRegister>> {
  return ask("/plan");
}

/** Has the plan worked out anew and keeps it for when there is no signal. */
export async function renewPlan(scope: string): Promise<Answer<PlantingPlan>> {
  const answer = await ask<PlantingPlan>(`/plan/planting?scope=${at(scope)}`);
  if (answer.value) await keepPlan(answer.value);
  return answer;
}

/** Adds a size, or changes the one that was read; what is unlikely is asked back. */
export function putSize(body: SizeBody, was: PlanterSize | null): Promise<Answer<PlanterSize>> {
  if (!was) return ask("/plan/sizes", { method: "POST", json: body });
  const headers = from(was.version);
  return ask(`/plan/sizes/${at(was.id)}`, { method: "PUT", json: body, headers });
}

export function dropSize(id: string): Promise<Answer<void>> {
  return ask(`/plan/sizes/${at(id)}`, { method: "DELETE" });
}

/** Adds a scheme, or changes the one that was read, with who gets it. */
export function putScheme(body: SchemeBody, was: Scheme | null): Promise<Answer<Scheme>> {
  if (!was) return ask("/plan/schemes", { method: "POST", json: body });
  const headers = from(was.version);
  return ask(`/plan/schemes/${at(was.id)}`, { method: "PUT", json: body, headers });
}

export function dropScheme(id: string): Promise<Answer<void>> {
  return ask(`/plan/schemes/${at(id)}`, { method: "DELETE" });
}

export function putMaterials(body: MaterialsBody, version: number): Promise<Answer<Materials>> {
  return ask("/plan/materials", { method: "PUT", json: body, headers: from(version) });
}

export function putAsset(
  planter: string,
  body: AssetBody,
  version: number,
): Promise<Answer<Asset>> {
  return ask(`/plan/planters/${at(planter)}/asset`, {
    method: "PUT",
    json: body,
    headers: from(version),
  });
}

/** Lets two planters change places; each keeps its tag and its history. */
export function swapPlanters(planter: string, other: string): Promise<Answer<void>> {
  return ask(`/plan/planters/${at(planter)}/swap`, { method: "POST", json: { other } });
}
