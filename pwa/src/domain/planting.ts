/** Names for the shapes of planting day and of assets: aliases of the generated schema. */

import type { components } from "../api/schema";

type Shapes = components["schemas"];

export type PlanRegister = Shapes["PlanRegister"];
export type PlanterSize = Shapes["PlanterSize"];
export type Scheme = Shapes["PlantingScheme"];
export type SchemePlant = Shapes["SchemePlant"];
export type Materials = Shapes["Materials"];
export type Stocked = Shapes["Stocked"];
export type Asset = Shapes["Asset"];
export type AssetDue = Shapes["AssetDue"];
export type PlanterChange = Shapes["PlanterChange"];
export type PlantingPlan = Shapes["PlantingPlan"];
export type PlanPlanter = Shapes["PlanPlanter"];
export type PlanStop = Shapes["PlanStop"];

/** A plan as the server last worked it out, kept for planting day. */
export interface KeptPlan {
  id: string;
  plan: PlantingPlan;
}
