/** Plan pictures: desk work, online. They come to every phone with the town's card. */

import { type Answer, ask } from "../api/client";
import type { components } from "../api/schema";
import type { SitePlan } from "../domain/planter";
import { shrink } from "../store/shrink";

type Shapes = components["schemas"];
export type PointBody = Shapes["PointBody"];

/** The server takes no more; a heavier picture is drawn smaller here first. */
const MOST_BYTES = 2 * 1024 * 1024;

const at = (scope: string) => `/siteplans/${encodeURIComponent(scope)}`;
const from = (was: SitePlan | undefined): Record<string, string> =>
  was ? { "If-Match": `"${was.version}"` } : {};

export function readSitePlans(): Promise<Answer<{ plans: SitePlan[] }>> {
  return ask("/siteplans");
}

/** Sends a plan picture, new or in place of the one that was read. Throws NoPicture. */
export async function putPicture(
  scope: string,
  file: File,
  was: SitePlan | undefined,
): Promise<Answer<SitePlan>> {
  const small = file.size > MOST_BYTES;
  const body = small ? new Blob([(await shrink(file)).bytes]) : file;
  const type = small ? "image/jpeg" : file.type;
  return ask(`${at(scope)}/picture`, { method: "PUT", text: { body, type }, headers: from(was) });
}

/** Says what two spots of the picture are; a third one checks it. */
export function putPoints(was: SitePlan, points: PointBody[]): Promise<Answer<SitePlan>> {
  const how = { method: "PUT", json: { points }, headers: from(was) } as const;
  return ask(`${at(was.scope)}/points`, how);
}

export function dropPlan(was: SitePlan): Promise<Answer<void>> {
  return ask(at(was.scope), { method: "DELETE", headers: from(was) });
}
