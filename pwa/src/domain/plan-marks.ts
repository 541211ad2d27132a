/**
 * Marks on a drawing that never cover each other: each stands near its spot, moved aside where
 * another needs the room, and tied to it by a line. Where there is no room for all, the nearest ones
 * are gathered under one mark. The same input gives the same marks.
 */

import type { Spot } from "./site-plan";

export interface Wanted extends Spot {
  id: string;
  width: number;
  height: number;
}

export interface Mark extends Spot {
  /** Which stand here; more than one: gathered. */
  ids: string[];
  left: number;
  top: number;
  width: number;
  height: number;
}

export interface Room {
  width: number;
  height: number;
}

/** Between two marks [px]. */
const GAP = 6;
/** The foot of a mark stands so far above its spot [px]. */
const STEM = 10;
/** A mark farther from its spot than this is no help [px]. */
const FARTHEST = 150;
const STEP = 10;
/** A spot and its dot take this radius [px]; to cover one is as bad as so many pixels of way. */
const DOT = 10;
const COVERING = 70;
/** More marks than these are gathered at once, by a raster; the rest is done one by one. */
const MOST_MARKS = 48;
/** Marks may fill this share of a drawing, or nothing is seen of it. */
const FULL = 0.75;

interface Group extends Spot {
  ids: string[];
  width: number;
  height: number;
}

/**
 * Lays all marks out. `gathered` is the size of the mark for several; `others` are spots of things
 * without a mark, which should not be covered either.
 */
export function layOut(
  wanted: readonly Wanted[],
  room: Room,
  gathered: Room,
  others: readonly Spot[] = [],
): Mark[] {
  let groups: Group[] = wanted.map(({ id, x, y, width, height }) => ({
    ids: [id],
    x,
    y,
    width,
    height,
  }));
  for (let cell = 12; groups.length > MOST_MARKS; cell *= 1.5) {
    groups = byRaster(groups, cell, gathered);
  }
  for (;;) {
    const marks = crowded(groups, room) ? null : settled(groups, room, others);
    if (marks || groups.length < 2) return marks ?? groups.map((one) => boxOf(one, room));
    groups = withNearestJoined(groups, gathered);
  }
}

function crowded(groups: readonly Group[], room: Room): boolean {
  const area = groups.reduce((sum, one) => sum + (one.width + GAP) * (one.height + GAP), 0);
  return groups.length > 1 && area > FULL * room.width * room.height;
}

function join(some: readonly Group[], gathered: Room): Group {
  const ids = some.flatMap((one) => one.ids);
  const middle = (pick: (one: Group) => number) =>
    some.reduce((sum, one) => sum + pick(one) * one.ids.length, 0) / ids.length;
  return { ids, x: middle((one) => one.x), y: middle((one) => one.y), ...gathered };
}

function byRaster(groups: readonly Group[], cell: number, gathered: Room): Group[] {
  const cells = new Map<string, Group[]>();
  for (const one of groups) {
    const key = `${Math.floor(one.x / cell)} ${Math.floor(one.y / cell)}`;
    cells.set(key, [...(cells.get(key) ?? []), one]);
  }
  return [...cells.values()].map((some) =>
    some.length === 1 ? (some[0] as Group) : join(some, gathered),
  );
}

function withNearestJoined(groups: readonly Group[], gathered: Room): Group[] {
  let nearest: [number, number] = [0, 1];
  let least = Number.POSITIVE_INFINITY;
  for (const [i, one] of groups.entries()) {
    for (let k = i + 1; k < groups.length; k += 1) {
      const other = groups[k] as Group;
      const far = Math.hypot(one.x - other.x, one.y - other.y);
      if (far < least) {
        least = far;
        nearest = [i, k];
      }
    }
  }
  const [i, k] = nearest;
  const joined = join([groups[i] as Group, groups[k] as Group], gathered);
  return groups.flatMap((one, at) => (at === i ? [joined] : at === k ? [] : [one]));
}

/** A mark above its spot, moved by so much, inside the room. */
function boxOf(one: Group, room: Room, [right, down]: [number, number] = [0, 0]): Mark {
  const left = one.x - one.width / 2 + right;
  const top = one.y - one.height - STEM + down;
  return {
    ...one,
    left: Math.max(0, Math.min(left, room.width - one.width)),
    top: Math.max(0, Math.min(top, room.height - one.height)),
  };
}

/** Ways to move a mark aside, the shortest first. */
const ASIDE: [number, number][] = [];
for (let right = -FARTHEST; right <= FARTHEST; right += STEP) {
  for (let down = -FARTHEST; down <= FARTHEST; down += STEP) {
    if (Math.hypot(right, down) <= FARTHEST) ASIDE.push([right, down]);
  }
}
ASIDE.sort((one, other) => Math.hypot(...one) - Math.hypot(...other));

function collide(one: Mark, other: Mark): boolean {
  return (
    one.left < other.left + other.width + GAP &&
    other.left < one.left + one.width + GAP &&
    one.top < other.top + other.height + GAP &&
    other.top < one.top + one.height + GAP
  );
}

function covers(mark: Mark, { x, y }: Spot): boolean {
  return (
    x > mark.left - DOT &&
    x < mark.left + mark.width + DOT &&
    y > mark.top - DOT &&
    y < mark.top + mark.height + DOT
  );
}

/** Orders in which marks look for their places; which one leaves most room depends on the site. */
const ORDERS: ((one: Group, other: Group) => number)[] = [
  () => 0,
  (one, other) => one.x - other.x,
  (one, other) => one.y - other.y,
  (one, other) => other.y - one.y,
];

/** Every mark at the best place left; null where one finds none. */
function settled(groups: readonly Group[], room: Room, others: readonly Spot[]): Mark[] | null {
  const spots = [...groups, ...others];
  let best: { cost: number; marks: Mark[] } | null = null;
  for (const order of ORDERS) {
    const found = placedBy([...groups].sort(order), spots, room);
    if (found && (!best || found.cost < best.cost - 0.001)) best = found;
  }
  return best && groups.map((one) => best.marks.find((mark) => mark.ids === one.ids) as Mark);
}

function placedBy(sorted: Group[], spots: readonly Spot[], room: Room) {
  const marks: Mark[] = [];
  let cost = 0;
  for (const one of sorted) {
    const found = bestPlace(one, marks, spots, room);
    if (!found) return null;
    marks.push(found.mark);
    cost += found.cost;
  }
  return { cost, marks };
}

/** The nearest free place, a little farther off rather than over a spot. */
function bestPlace(one: Group, marks: readonly Mark[], spots: readonly Spot[], room: Room) {
  let best: { cost: number; mark: Mark } | null = null;
  for (const aside of ASIDE) {
    const far = Math.hypot(...aside);
    if (best && far >= best.cost) break;
    const mark = boxOf(one, room, aside);
    if (marks.some((other) => collide(mark, other))) continue;
    const cost = far + COVERING * spots.filter((spot) => covers(mark, spot)).length;
    if (!best || cost < best.cost) best = { cost, mark };
  }
  return best;
}
