/** The season report, and files in and out. Online: what they rest on lies on the server. */

import { type Answer, ask } from "../api/client";
import type { components } from "../api/schema";
import type { ImportReport } from "../domain/planter";
import { saveFrom } from "./save-file";

type Shapes = components["schemas"];
export type SeasonReport = Shapes["SeasonReport"];
export type SeasonFigures = Shapes["SeasonFigures"];
export type PlanterFigures = Shapes["PlanterFigures"];
export type RecordsBehind = Shapes["RecordsBehind"];

/** Where a number's records are asked for: which number, of which season, of whom. */
export interface Behind {
  of: string;
  year: number | string;
  planter?: string;
  site?: string;
  flag?: string;
  person?: string;
}

function asked(behind: Behind): string {
  const found = new URLSearchParams({ of: behind.of, year: String(behind.year) });
  if (behind.planter) found.set("planter", behind.planter);
  if (behind.site) found.set("site", behind.site);
  if (behind.flag) found.set("flag", behind.flag);
  if (behind.person) found.set("person", behind.person);
  return found.toString();
}

/** The screen that shows the records behind a number. */
export function recordsWay(behind: Behind): string {
  return `/report/records?${asked(behind)}`;
}

export function readSeasonReport(year: string | undefined): Promise<Answer<SeasonReport>> {
  return ask(`/report/season${year ? `?year=${encodeURIComponent(year)}` : ""}`);
}

export function readBehind(behind: Behind): Promise<Answer<RecordsBehind>> {
  return ask(`/report/season/records?${asked(behind)}`);
}

/** Where the report can be saved from, as CSV. */
export function seasonTable(year: number): string {
  return `/api/v1/report/season.csv?year=${year}`;
}

/** What can be saved as a file, by the name of its words. */
export const FILES = {
  planters: "/api/v1/register/planters.csv",
  records: "/api/v1/records.csv",
  weather: "/api/v1/weather.csv",
  positions: "/api/v1/planters.geojson",
} as const;
const WHOLE_TOWN = "/api/v1/archive.zip";

/** Types the own password once more, then saves the whole town: the browser writes the file itself. */
export async function saveWholeTown(password: string): Promise<Answer<void>> {
  const answer = await ask<void>("/password", { method: "POST", json: { password } });
  if (!answer.problem) saveFrom(WHOLE_TOWN);
  return answer;
}

/** Tries or takes in visits of the past. */
export function importVisits(csv: string, dry: boolean): Promise<Answer<ImportReport>> {
  return ask(`/records/import${dry ? "?dry_run=1" : ""}`, {
    method: "POST",
    text: { body: csv, type: "text/csv; charset=utf-8" },
  });
}
