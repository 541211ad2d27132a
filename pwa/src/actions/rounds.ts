/** Planning of rounds: desk work, online. A plan is worked out by the server when it is asked for. */

import { type Answer, ask } from "../api/client";
import type { components } from "../api/schema";
import type { RoundCard, Tap } from "../domain/planter";

type Shapes = components["schemas"];
export type PlanAnswer = Shapes["PlanAnswer"];
export type PlannedRound = Shapes["PlannedRound"];
export type CrewAnswer = Shapes["CrewAnswer"];
export type Member = Shapes["Member"];
export type CrewBody = Shapes["CrewBody"];
export type TapBody = Shapes["TapBody"];
export type WayBody = Shapes["WayBody"];
export type WaysFrom = Shapes["WaysFrom"];
export type HoursAnswer = Shapes["HoursAnswer"];
export type CalendarLink = Shapes["CalendarLinkRow"];
export type CalendarLinkMade = Shapes["CalendarLinkMade"];

const at = (id: string) => encodeURIComponent(id);
const from = (version: number) => ({ "If-Match": `"${version}"` });

/** The plan of two weeks; takes seconds in a large town. */
export function planRounds(): Promise<Answer<PlanAnswer>> {
  return ask("/rounds/plan", { method: "POST", json: {} });
}

/** Tells people the very plan that was looked at. */
export function tellRounds(mark: string): Promise<Answer<{ rounds: RoundCard[] }>> {
  return ask("/rounds/tell", { method: "POST", json: { mark } });
}

/** Taps, crew and paced ways. */
export function readCrew(): Promise<Answer<CrewAnswer>> {
  return ask("/rounds/crew");
}

/** Adds a tap, or changes the one that was read. */
export function putTap(body: TapBody, was: Tap | null): Promise<Answer<Tap>> {
  if (!was) return ask("/rounds/taps", { method: "POST", json: body });
  const headers = from(was.version);
  return ask(`/rounds/taps/${at(was.id)}`, { method: "PATCH", json: body, headers });
}

export function dropTap(was: Tap): Promise<Answer<void>> {
  const headers = from(was.version);
  return ask(`/rounds/taps/${at(was.id)}`, { method: "DELETE", headers });
}

/** Litres a minute from a bucket; needs the network. */
export function calibrateTap(id: string, litres_l: number, seconds: number): Promise<Answer<Tap>> {
  return ask(`/rounds/taps/${at(id)}/calibration`, { method: "POST", json: { litres_l, seconds } });
}

export function putMember(
  person: string,
  body: CrewBody,
  was: Member | undefined,
): Promise<Answer<Member>> {
  const headers = was ? from(was.version) : {};
  return ask(`/rounds/crew/${at(person)}`, { method: "PUT", json: body, headers });
}

export function dropMember(person: string): Promise<Answer<void>> {
  return ask(`/rounds/crew/${at(person)}`, { method: "DELETE" });
}

export function putWays(ways: WayBody[]): Promise<Answer<unknown>> {
  return ask("/rounds/ways", { method: "PUT", json: { ways } });
}

/** How far every other place is from one, as the plan reckons with it; nearest first. */
export function readWaysFrom(place: string): Promise<Answer<WaysFrom>> {
  return ask(`/rounds/ways/${at(place)}`);
}

/** A month back of everybody's hours, or those of a span of days. */
export function readHours(): Promise<Answer<HoursAnswer>> {
  return ask("/rounds/hours");
}

export function readCalendarLinks(): Promise<Answer<{ links: CalendarLink[] }>> {
  return ask("/rounds/calendar-links");
}

/** Makes an address; it is shown this once and never again. */
export function makeCalendarLink(
  name: string,
  person: string | null,
): Promise<Answer<CalendarLinkMade>> {
  return ask("/rounds/calendar-links", {
    method: "POST",
    json: person ? { name, person } : { name },
  });
}

export function revokeCalendarLink(id: string): Promise<Answer<void>> {
  return ask(`/rounds/calendar-links/${at(id)}`, { method: "DELETE" });
}
