/** The coordinator's lists and seasons. Online; every change is kept with who and when. */

import { type Answer, ask } from "../api/client";
import type { components } from "../api/schema";
import type { ListName, RegisterPlanter } from "../domain/planter";
import { changePlanter, readRegister } from "./register";

type Shapes = components["schemas"];
export type ListEditor = Shapes["ListEditor"];
export type EditedStep = Shapes["EditedStepBody"];
export type Seasons = Shapes["Seasons"];
export type OpenSeason = Shapes["OpenSeason"];
export type ClosedSeason = Shapes["ClosedSeason"];

/** Both lists as they are edited. */
export function readLists(): Promise<Answer<{ lists: ListEditor[] }>> {
  return ask("/register/lists");
}

/** Puts a list in place of the present one; 412 when somebody was faster. */
export function putList(
  list: ListName,
  version: number,
  steps: EditedStep[],
): Promise<Answer<ListEditor>> {
  const headers = { "If-Match": `"${version}"` };
  return ask(`/register/lists/${list}`, { method: "PUT", json: { steps }, headers });
}

/** What can be closed and what was. */
export function readSeasons(): Promise<Answer<Seasons>> {
  return ask("/seasons");
}

/** A closed season, and what arrived after closing. */
export function readSeason(year: string): Promise<Answer<ClosedSeason>> {
  return ask(`/seasons/${encodeURIComponent(year)}`);
}

/** Closes a season with so much open in it as was shown. */
export function closeSeason(year: number, open_seen: number): Promise<Answer<ClosedSeason>> {
  return ask(`/seasons/${year}/close`, { method: "POST", json: { open_seen } });
}

export function reopenSeason(year: number, reason: string): Promise<Answer<ClosedSeason>> {
  return ask(`/seasons/${year}/reopen`, { method: "POST", json: { reason } });
}

/** Sets stored planters back in use, one after the other; stops at the first that is refused. */
export async function putBackInUse(ids: readonly string[]): Promise<Answer<RegisterPlanter[]>> {
  const read = await readRegister();
  if (read.problem) return read;
  const done: RegisterPlanter[] = [];
  for (const one of read.value.planters.filter((planter) => ids.includes(planter.id))) {
    const answer = await changePlanter(one.id, one.version, { status: "in-use" });
    if (answer.problem) return answer;
    done.push(answer.value);
  }
  return { value: done };
}
