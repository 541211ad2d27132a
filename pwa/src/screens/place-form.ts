/** The fields of "Where it stands": lengths in the chosen unit, and the body they become. */

import type { SitingBody } from "../actions/register";
import type { RegisterPlanter } from "../domain/planter";
import { measureFrom, measureTyped } from "../i18n/measures";

export const LENGTHS = [
  "path_cm",
  "from_kerb_cm",
  "width_cm",
  "length_cm",
  "rim_cm",
  "canopy_cm",
  "plants_cm",
  "trailing_cm",
  "needed_cm",
  "sight_leg_cm",
  "sight_height_cm",
] as const;
export type LengthKey = (typeof LENGTHS)[number];

/** Without these there is nothing to work out. */
const MEASURED: LengthKey[] = ["path_cm", "from_kerb_cm", "rim_cm"];

export const THINGS = [
  "post",
  "door",
  "tap",
  "hydrant",
  "bus-stop",
  "corner",
  "driveway",
  "bench",
  "other",
] as const;

export interface ThingForm {
  what: (typeof THINGS)[number];
  distance_cm: string;
  from_kerb_cm: string;
  width_cm: string;
  swing_cm: string;
}

export type PlaceForm = Record<LengthKey, string> & {
  slope_percent: string;
  things: ThingForm[];
};

const shown = (cm: number | null | undefined) => measureTyped("length", cm);
const given = (typed: string) => measureFrom("length", typed, null);

export const NO_THING: ThingForm = {
  what: "post",
  distance_cm: "",
  from_kerb_cm: "",
  width_cm: "",
  swing_cm: "",
};

/** The last check as it can be typed over; nothing where nobody measured yet. */
export function placeFormOf(planter: RegisterPlanter): PlaceForm {
  const facts = planter.siting?.facts;
  const lengths = Object.fromEntries(LENGTHS.map((key) => [key, shown(facts?.[key])]));
  return {
    ...(lengths as Record<LengthKey, string>),
    slope_percent: facts?.slope_percent ? String(facts.slope_percent) : "",
    things: (facts?.things ?? []).map((thing) => ({
      what: thing.what,
      distance_cm: shown(thing.distance_cm),
      from_kerb_cm: shown(thing.from_kerb_cm),
      width_cm: thing.width_cm ? shown(thing.width_cm) : "",
      swing_cm: shown(thing.swing_cm),
    })),
  };
}

export function measured(form: PlaceForm): boolean {
  return MEASURED.every((key) => form[key].trim() !== "");
}

export function placeFrom(form: PlaceForm, sure: boolean): SitingBody {
  const lengths = Object.fromEntries(LENGTHS.map((key) => [key, given(form[key])]));
  return {
    ...(lengths as Record<LengthKey, number | null>),
    path_cm: given(form.path_cm) ?? 0,
    from_kerb_cm: given(form.from_kerb_cm) ?? 0,
    rim_cm: given(form.rim_cm) ?? 0,
    slope_percent: form.slope_percent.trim() === "" ? null : Number(form.slope_percent),
    things: form.things.map((thing) => ({
      what: thing.what,
      distance_cm: given(thing.distance_cm) ?? 0,
      from_kerb_cm: given(thing.from_kerb_cm),
      width_cm: given(thing.width_cm),
      swing_cm: thing.what === "door" ? given(thing.swing_cm) : null,
    })),
    sure,
  };
}
