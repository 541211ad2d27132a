/** The weather of the town: what a coordinator types, brings as a file or has fetched. Online. */

import { type Answer, ask } from "../api/client";
import type { components } from "../api/schema";
import type { ImportReport, Weather, WeatherDay } from "../domain/planter";
import { ring } from "../store/bell";

export type TypedDay = components["schemas"]["TypedDay"];

/** The weather from one day to another, gaps filled and marked. */
export function readWeather(from: string, to: string): Promise<Answer<Weather>> {
  return ask(`/weather?from=${from}&to=${to}`);
}

/** Keeps typed days in place of what was there for them. */
export function putWeather(days: TypedDay[]): Promise<Answer<{ days: WeatherDay[] }>> {
  return ask("/weather/days", { method: "PUT", json: { days } });
}

/** Tries a file of days (`dry`) or takes it in; with faults in it nothing is taken. */
export function importWeather(csv: string, dry: boolean): Promise<Answer<ImportReport>> {
  return ask(`/weather/import${dry ? "?dry_run=1" : ""}`, {
    method: "POST",
    text: { body: csv, type: "text/csv; charset=utf-8" },
  });
}

/** Asks the forecast service now. */
export function fetchWeather(): Promise<Answer<{ days: WeatherDay[] }>> {
  return ask("/weather/fetch", { method: "POST", json: {} });
}

export type LowsUnit = "c" | "f" | "tenths-c";

/**
 * Tries a station's record of daily lows (`dry`) or takes it in. No unit: the column's name says it.
 * The dates come back with the town's card, so it is asked for at once.
 */
export async function importLows(
  csv: string,
  dry: boolean,
  unit: LowsUnit | "",
  replace: boolean,
): Promise<Answer<ImportReport>> {
  const query = new URLSearchParams();
  if (dry) query.set("dry_run", "1");
  if (unit) query.set("unit", unit);
  if (replace) query.set("replace", "1");
  const answer = await ask<ImportReport>(`/weather/lows/import?${query}`, {
    method: "POST",
    text: { body: csv, type: "text/csv; charset=utf-8" },
  });
  if (!dry && answer.value) ring("asked");
  return answer;
}

/** Takes the record of lows away. */
export async function forgetLows(): Promise<Answer<void>> {
  const answer = await ask<void>("/weather/lows", { method: "DELETE" });
  if (!answer.problem) ring("asked");
  return answer;
}
