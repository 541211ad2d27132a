/** Half-filled forms, kept at every step so that a call or a flat battery loses nothing. */

import type { FreshPhoto } from "../domain/outbox";
import type { Me } from "../domain/planter";
import { changed, type Draft, withPhone } from "./database";

export type { Draft } from "./database";

async function me(): Promise<string | null> {
  const who = (await withPhone((db) => db.get("settings", "me"))) as Me | null | undefined;
  return who?.person.id ?? null;
}

/** Drafts on their way into the store. */
const underWay = new Set<Promise<void>>();

async function keep(draft: Omit<Draft, "person" | "at">): Promise<void> {
  const person = await me();
  await withPhone((db) => db.put("drafts", { ...draft, person, at: Date.now() }));
  changed("drafts");
}

/** Keeps the form as it is now. One transaction each, never held back. */
export function keepDraft(
  key: string,
  planter: string,
  form: unknown,
  photos: FreshPhoto[],
): Promise<void> {
  const keeping = keep({ key, planter, form, photos });
  underWay.add(keeping);
  const over = () => void underWay.delete(keeping);
  keeping.then(over, over);
  return keeping;
}

/** Waits for drafts on their way: one that arrived after its record would come back from the dead. */
export async function draftsKept(): Promise<void> {
  await Promise.allSettled([...underWay]);
}

/** The form as this person left it, or undefined. */
export async function readDraft(key: string): Promise<Draft | undefined> {
  const draft = await withPhone((db) => db.get("drafts", key));
  return draft && draft.person === (await me()) ? draft : undefined;
}

/** This person's open forms. */
export async function listDrafts(): Promise<Draft[]> {
  const [all, person] = await Promise.all([withPhone((db) => db.getAll("drafts")), me()]);
  return all.filter((draft) => draft.person === person);
}

/** Drops a form the person left on purpose. */
export async function dropDraft(key: string): Promise<void> {
  await draftsKept();
  await withPhone((db) => db.delete("drafts", key));
  changed("drafts");
}
