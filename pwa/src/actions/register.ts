/** The register: what a coordinator changes, online. Every change is kept with who and when. */

import { type Answer, ask } from "../api/client";
import type { components } from "../api/schema";
import type {
  ImportReport,
  Invite,
  Night,
  Register,
  RegisterPerson,
  RegisterPhone,
  RegisterPlanter,
  RegisterSettings,
  RegisterSite,
} from "../domain/planter";

export type { Answer } from "../api/client";

type Shapes = components["schemas"];
export type NewPlanter = Shapes["NewPlanter"];
export type PlanterPatch = Shapes["PlanterPatch"];
export type SettingsPatch = Shapes["SettingsPatch"];
export type PlantingBody = Shapes["PlantingBody"];
export type SitingBody = Shapes["SitingBody"];

const at = (id: string) => encodeURIComponent(id);

/** The whole register. */
export function readRegister(): Promise<Answer<Register>> {
  return ask("/register");
}

export function addSite(name: string, freeze_on: string | null): Promise<Answer<RegisterSite>> {
  return ask("/register/sites", { method: "POST", json: { name, freeze_on } });
}

export function changeSite(id: string, change: Shapes["SitePatch"]): Promise<Answer<RegisterSite>> {
  return ask(`/register/sites/${at(id)}`, { method: "PATCH", json: change });
}

/** Adds planters, all or none. */
export function addPlanters(
  planters: NewPlanter[],
): Promise<Answer<{ planters: RegisterPlanter[] }>> {
  return ask("/register/planters", { method: "POST", json: { planters } });
}

/** Changes a planter as it was at `version`; 412 when somebody was faster. */
export function changePlanter(
  id: string,
  version: number,
  change: PlanterPatch,
): Promise<Answer<RegisterPlanter>> {
  const headers = { "If-Match": `"${version}"` };
  return ask(`/register/planters/${at(id)}`, { method: "PATCH", json: change, headers });
}

/** Keeps what was measured around a planter, as it was at `version`; earlier checks stay. */
export function addSiting(
  id: string,
  version: number,
  facts: SitingBody,
): Promise<Answer<RegisterPlanter>> {
  const headers = { "If-Match": `"${version}"` };
  return ask(`/register/planters/${at(id)}/siting`, { method: "POST", json: facts, headers });
}

export function addPlanting(id: string, planting: PlantingBody): Promise<Answer<RegisterPlanter>> {
  return ask(`/register/planters/${at(id)}/plantings`, { method: "POST", json: planting });
}

/** Retires the planter's tag and gives it a new code. */
export function replaceTag(id: string, reason: string): Promise<Answer<RegisterPlanter>> {
  return ask(`/register/planters/${at(id)}/tag`, { method: "POST", json: { reason } });
}

/** Tries an import (`dry`) or does it; faults come by row and column and nothing is imported then. */
export function importPlanters(csv: string, dry: boolean): Promise<Answer<ImportReport>> {
  return ask(`/register/planters/import${dry ? "?dry_run=1" : ""}`, {
    method: "POST",
    text: { body: csv, type: "text/csv; charset=utf-8" },
  });
}

/** Where the register's planters can be saved from, as CSV. */
export const PLANTERS_CSV = "/api/v1/register/planters.csv";

/** Where a sheet of tags can be saved from, as PDF. */
export function tagSheet(planters: readonly string[] | "all", size: string, paper: string): string {
  const which = planters === "all" ? "all" : planters.map(at).join(",");
  return `/api/v1/tags.pdf?planters=${which}&size=${size}&paper=${paper}`;
}

export function changeSettings(change: SettingsPatch): Promise<Answer<RegisterSettings>> {
  return ask("/register/settings", { method: "PATCH", json: change });
}

/** Replaces the lows of the dates given. */
export function putNights(
  nights: { date: string; low_c: number | null; kind: Night["kind"] }[],
): Promise<Answer<{ nights: Night[] }>> {
  return ask("/register/nights", { method: "PUT", json: { nights } });
}

export function addPerson(
  name: string,
  role: RegisterPerson["role"],
  password: string | null,
): Promise<Answer<RegisterPerson>> {
  const json = password ? { name, role, password } : { name, role };
  return ask("/register/people", { method: "POST", json });
}

export function changePerson(
  id: string,
  change: Shapes["PersonPatch"],
): Promise<Answer<RegisterPerson>> {
  return ask(`/register/people/${at(id)}`, { method: "PATCH", json: change });
}

/** Makes an invite; its link is shown this once and never again. */
export function makeInvite(
  role: RegisterPerson["role"],
  name: string,
  for_person: string | null,
): Promise<Answer<Invite>> {
  const json = for_person ? { role, name, for_person } : { role, name };
  return ask("/register/invites", { method: "POST", json });
}

export function revokeInvite(id: string): Promise<Answer<void>> {
  return ask(`/register/invites/${at(id)}`, { method: "DELETE" });
}

/** Ends a phone's session: what it still sends is held for the coordinator. */
export function endPhone(id: string): Promise<Answer<RegisterPhone>> {
  return ask(`/register/phones/${at(id)}/end`, { method: "POST", json: {} });
}

/** Shuts a stolen phone out altogether. */
export function burnPhone(id: string): Promise<Answer<RegisterPhone>> {
  return ask(`/register/phones/${at(id)}/burn`, { method: "POST", json: {} });
}
