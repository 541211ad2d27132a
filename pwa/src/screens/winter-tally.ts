/** What the board counts and exports: pure, from the planters' cards. */

import type { ListCard, ListName, PlanterCard } from "../domain/planter";

export interface Tally {
  of: number;
  settled: number;
  unproven: number;
  underWay: number;
  notBegun: number;
}

export function listOf(card: PlanterCard, list: ListName): ListCard {
  return list === "start-up" ? card.lists.start_up : card.lists.winterization;
}

export function tally(cards: readonly PlanterCard[], list: ListName): Tally {
  const states = cards.map((card) => listOf(card, list).state);
  const count = (...wanted: ListCard["state"][]) =>
    states.filter((state) => wanted.includes(state)).length;
  return {
    of: states.length,
    settled: count("proven", "done"),
    unproven: count("unproven"),
    underWay: count("under-way"),
    notBegun: count("not-begun"),
  };
}

/** Start-up while it is in season and winterization is not; else winterization. */
export function seasonList(cards: readonly PlanterCard[]): ListName {
  const active = (list: ListName) => cards.some((card) => listOf(card, list).active);
  return active("start-up") && !active("winterization") ? "start-up" : "winterization";
}

export function plugPlace(card: PlanterCard, list: ListCard): string | null {
  const said = [...list.steps].reverse().find((step) => step.plug_place)?.plug_place;
  return said ?? card.state.plug.place;
}

/** One cell of RFC 4180. A cell a spreadsheet would take for a formula gets an apostrophe. */
function cell(value: string | number | null): string {
  const text = String(value ?? "");
  const safe = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** The board as a table, one planter a line. */
export function boardCsv(cards: readonly PlanterCard[], list: ListName): string {
  const head = ["site", "planter", "state", "steps_done", "steps", "missing", "plug_place"];
  const rows = cards.map((card) => {
    const one = listOf(card, list);
    return [
      card.site.name,
      card.name,
      one.state,
      one.done,
      one.of,
      one.missing.join("; "),
      plugPlace(card, one),
    ];
  });
  return [head, ...rows].map((row) => `${row.map(cell).join(",")}\r\n`).join("");
}
