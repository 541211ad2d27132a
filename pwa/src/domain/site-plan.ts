/**
 * The ground on a drawing: degrees to metres, metres to pixels, and what is said of them in words.
 * The metres in a degree come with each planter's card, the fit of a picture with the town's.
 */

import type { Fit, Place } from "./planter";

export interface Metres {
  east: number;
  north: number;
}

export interface Spot {
  x: number;
  y: number;
}

/** A position: a planter's place, or a tap's. */
export interface Position {
  lat: number;
  lon: number;
}

/** The short way round the globe [degrees]. */
function turn(degrees: number): number {
  return ((((degrees + 180) % 360) + 360) % 360) - 180;
}

/** A position east and north of an origin, on the plane that touches the ground there. */
export function metres(from: Place, to: Position): Metres {
  return {
    east: turn(to.lon - from.lon) * from.east_m,
    north: (to.lat - from.lat) * from.north_m,
  };
}

/** How far two places lie apart [m]. */
export function apart(one: Metres, other: Metres): number {
  return Math.hypot(other.east - one.east, other.north - one.north);
}

/** The middle of some places, each counting alike; null for none. */
export function middleOf(places: readonly Metres[]): Metres | null {
  if (!places.length) return null;
  const sum = (pick: (one: Metres) => number) => places.reduce((all, one) => all + pick(one), 0);
  return {
    east: sum((one) => one.east) / places.length,
    north: sum((one) => one.north) / places.length,
  };
}

export const WINDS = [
  "north",
  "north-east",
  "east",
  "south-east",
  "south",
  "south-west",
  "west",
  "north-west",
] as const;
export type Wind = (typeof WINDS)[number];

/** Which way one place lies from another, to an eighth of a turn. */
export function windTo(from: Metres, to: Metres): Wind {
  const clockwise = Math.atan2(to.east - from.east, to.north - from.north) / (Math.PI / 4);
  return WINDS[(Math.round(clockwise) + 8) % 8] as Wind;
}

/** Where things lie on a drawing of this size, and how to read it. */
export interface Sheet {
  width: number;
  height: number;
  px_per_m: number;
  /** Where north points, clockwise from up [degrees]. */
  turn_deg: number;
  spot: (place: Metres) => Spot;
}

/** A drawing never shows less ground than this across, so that one planter alone is no puzzle. */
const LEAST_M = 20;

/**
 * North up, as large as the width and the height allow, the places in the middle. `edge` is kept
 * free on all sides for what stands beside a place.
 */
export function sheetFor(
  places: readonly Metres[],
  width: number,
  heights: { least: number; most: number },
  edge: number,
): Sheet {
  const span = (values: number[]) => {
    const [low, high] = [Math.min(...values), Math.max(...values)];
    return { middle: (low + high) / 2, long: Math.max(high - low, LEAST_M) };
  };
  const east = span(places.length ? places.map((one) => one.east) : [0]);
  const north = span(places.length ? places.map((one) => one.north) : [0]);
  const px_per_m = Math.min(
    Math.max(width - 2 * edge, 1) / east.long,
    (heights.most - 2 * edge) / north.long,
  );
  const wanted = north.long * px_per_m + 2 * edge;
  const height = Math.round(Math.min(heights.most, Math.max(heights.least, wanted)));
  return {
    width,
    height,
    px_per_m,
    turn_deg: 0,
    spot: (place) => ({
      x: width / 2 + (place.east - east.middle) * px_per_m,
      y: height / 2 - (place.north - north.middle) * px_per_m,
    }),
  };
}

/**
 * A plan picture shown at this width: metres from `origin` go to the fit's own origin, are turned
 * clockwise, made to pixels, shifted, and shrunk with the picture.
 */
export function pictureSheet(
  picture: { width: number; height: number },
  fit: Fit,
  origin: Place,
  width: number,
): Sheet {
  const shrunk = width / picture.width;
  const shift = metres(fit, origin);
  const angle = (fit.turn_deg * Math.PI) / 180;
  return {
    width,
    height: Math.round(picture.height * shrunk),
    px_per_m: fit.px_per_m * shrunk,
    turn_deg: fit.turn_deg,
    spot: (place) => {
      const east = place.east + shift.east;
      const north = place.north + shift.north;
      const right = east * Math.cos(angle) + north * Math.sin(angle);
      const up = north * Math.cos(angle) - east * Math.sin(angle);
      return {
        x: (fit.x + right * fit.px_per_m) * shrunk,
        y: (fit.y - up * fit.px_per_m) * shrunk,
      };
    },
  };
}

/** Whether a spot lies on the sheet. */
export function isOn(sheet: Sheet, { x, y }: Spot): boolean {
  return x >= 0 && y >= 0 && x <= sheet.width && y <= sheet.height;
}

/** A scale bar: so many units of `unit_m` metres, 1, 2 or 5 times a power of ten, in `px` pixels. */
export function scaleBar(px_per_m: number, most_px: number, unit_m = 1) {
  const most = most_px / (px_per_m * unit_m);
  const power = 10 ** Math.floor(Math.log10(most));
  const count = [5, 2, 1].map((step) => step * power).find((one) => one <= most) ?? power;
  return { count, px: count * unit_m * px_per_m };
}

/** What tells planters apart on a drawing where their full names have no room. */
export function shortNames(names: readonly string[], site: string): string[] {
  const tails = names.map((name) => (name.startsWith(site) ? name.slice(site.length).trim() : ""));
  const good = tails.every((tail) => tail.length > 0 && tail.length <= 3);
  return good && new Set(tails).size === tails.length
    ? tails
    : names.map((_, index) => String(index + 1));
}
