/** The list of changes, and taking one back. Online, like every change of the register. */

import { type Answer, ask, onChangeMade } from "../api/client";
import type { components } from "../api/schema";

type Shapes = components["schemas"];
export type ChangesPage = Shapes["ChangesPage"];
export type UndoLook = Shapes["UndoLook"];
export type InTheWay = Shapes["InTheWay"];

/** What the list is looked through by; an empty text asks for everything. */
export interface ChangesAsked {
  search: string;
  what: string;
  by: string;
  since: string;
  order: string;
}

export function readChanges(asked: ChangesAsked, after?: number): Promise<Answer<ChangesPage>> {
  const query = new URLSearchParams();
  for (const [key, value] of Object.entries(asked)) if (value) query.set(key, value);
  if (after !== undefined) query.set("after", String(after));
  return ask(`/register/changes?${query}`);
}

/** What undoing a change would do; nothing is changed by looking. */
export function lookAtUndo(number: number): Promise<Answer<UndoLook>> {
  return ask(`/register/changes/${number}/undo`);
}

/** Takes a change back as it was looked at, then lets every screen read again. */
export async function undoChange(
  number: number,
  mark: string,
  overwrite: boolean,
): Promise<Answer<Shapes["UndoMade"]>> {
  const answer = await ask<Shapes["UndoMade"]>(`/register/changes/${number}/undo`, {
    method: "POST",
    json: { mark, overwrite },
  });
  if (!answer.problem) await tellUndone();
  return answer;
}

// --- what was just changed, and what has to be read again ------------------------------------------

/** An offer to undo stands so long [ms]; afterwards the list of changes has it. */
const OFFERED_MS = 120_000;
let offer: { number: number; until: number } | null = null;
const watchers = new Set<() => void>();
const readers = { first: new Set<() => Promise<void>>(), last: new Set<() => Promise<void>>() };

/** The change this desk just made, as long as it is offered to be undone. */
export function offered(): number | null {
  return offer && Date.now() < offer.until ? offer.number : null;
}

function put(next: typeof offer): void {
  offer = next;
  for (const watcher of watchers) watcher();
}

/** The offer was taken, or waved away. */
export function withdrawOffer(): void {
  put(null);
}

onChangeMade((number) => put({ number, until: Date.now() + OFFERED_MS }));

/** Calls back when there is another offer, or none any more; gives the way to stop. */
export function onOffer(watcher: () => void): () => void {
  watchers.add(watcher);
  return () => watchers.delete(watcher);
}

/** Has something read again once a change was taken back, in two turns; gives the way to stop. */
export function onUndone(
  read: () => Promise<void>,
  turn: keyof typeof readers = "first",
): () => void {
  readers[turn].add(read);
  return () => readers[turn].delete(read);
}

async function tellUndone(): Promise<void> {
  withdrawOffer();
  await Promise.all([...readers.first].map((read) => read()));
  await Promise.all([...readers.last].map((read) => read()));
}
