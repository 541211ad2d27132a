/** The check-in's draft: read once when the screen opens, kept at every change, gone when saved. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { FreshPhoto } from "../domain/outbox";
import { ownCheckIn } from "../domain/pending";
import type { PlanterCard } from "../domain/planter";
import type { CheckInBody, CorrectionBody } from "../domain/records";
import { dropDraft, keepDraft, readDraft } from "../store/drafts";
import { listOutbox, readEntry } from "../store/outbox";
import { readPhoto } from "../store/photos";
import { listOwnRecords } from "../store/planters";
import { type CheckInForm, emptyForm, formFrom } from "./check-in-form";

export interface CheckInCase {
  form: CheckInForm;
  photos: FreshPhoto[];
  /** The record this one stands in for, when it is a correction. */
  replaces: string | null;
  /** The moment the draft was left, when one was found [ms]. */
  leftAt: number | null;
}

export interface CheckInSource {
  planter: string;
  /** A check-in of one's own to be put right. */
  correct?: string | undefined;
  /** A refused record to start from. */
  fixes?: string | undefined;
  /** The round a new check-in is made on. */
  round?: string | undefined;
}

export function draftKey({ planter, correct, fixes }: CheckInSource): string {
  if (correct) return `correct:${correct}`;
  return fixes ? `fix:${fixes}` : `check-in:${planter}`;
}

async function photosOf(shas: readonly string[]): Promise<FreshPhoto[]> {
  const kept = await Promise.all(shas.map((sha) => readPhoto(sha)));
  return kept.flatMap((photo) => (photo ? [{ sha: photo.sha, bytes: photo.bytes }] : []));
}

async function fromRefused(record: string): Promise<CheckInCase | null> {
  const entry = await readEntry(record);
  if (!entry) return null;
  const correction = entry.kind === "correction" ? (entry.body as CorrectionBody) : null;
  const body = correction ? correction.check_in : (entry.body as CheckInBody);
  const photos = await photosOf(entry.photos);
  const here = new Set(photos.map((photo) => photo.sha));
  const form = formFrom(body);
  form.old_photos = form.old_photos.filter((sha) => !here.has(sha));
  return { form, photos, replaces: correction?.replaces ?? null, leftAt: null };
}

async function fromOwn(record: string): Promise<CheckInCase | null> {
  const body = ownCheckIn(record, await listOutbox(), await listOwnRecords());
  return body && { form: formFrom(body), photos: [], replaces: record, leftAt: null };
}

/** Where a check-in starts: its draft, else the record it puts right, else an empty form. */
export async function openCase(source: CheckInSource): Promise<CheckInCase | null> {
  const start = source.fixes
    ? await fromRefused(source.fixes)
    : source.correct
      ? await fromOwn(source.correct)
      : { form: emptyForm(), photos: [], replaces: null, leftAt: null };
  const draft = await readDraft(draftKey(source));
  if (!draft || !start) return start;
  const form = { ...emptyForm(), ...(draft.form as Partial<CheckInForm>) };
  return { ...start, form, photos: draft.photos, leftAt: draft.at };
}

export interface CaseOnScreen {
  /** undefined: not read yet. null: there is no such record on this phone. */
  case: CheckInCase | null | undefined;
  /** The same as it is by now, also in a press that has waited. */
  newest: () => CheckInCase | null | undefined;
  change: (form: CheckInForm) => void;
  /** Works on the newest form: a photo is ready a while after it was taken. */
  addPhoto: (photo: FreshPhoto) => void;
  removePhoto: (sha: string) => void;
  startOver: () => void;
  /** No draft may be written once Save has begun: it would come back from the dead. */
  close: () => void;
  reopen: () => void;
  /** The last change could not be kept: the phone's storage is full. */
  unkept: boolean;
}

/** The form with its draft behind it. `card` is only there to wait for the planter. */
export function useCase(source: CheckInSource, card: PlanterCard | undefined): CaseOnScreen {
  const [open, setOpen] = useState<CheckInCase | null | undefined>(undefined);
  const [unkept, setUnkept] = useState(false);
  const newest = useRef(open);
  const closed = useRef(false);
  const key = draftKey(source);
  const known = card !== undefined;
  const show = (next: CheckInCase | null | undefined) => {
    newest.current = next;
    setOpen(next);
  };
  // The key stands for the source.
  useEffect(() => {
    let wanted = true;
    if (known) void openCase(source).then((found) => wanted && show(found));
    return () => {
      wanted = false;
    };
  }, [key, known]);

  const keep = (change: (now: CheckInCase) => Partial<CheckInCase>) => {
    const now = newest.current;
    if (!now || closed.current) return;
    const next = { ...now, ...change(now) };
    show(next);
    keepDraft(key, source.planter, next.form, next.photos).then(
      () => setUnkept(false),
      () => setUnkept(true),
    );
  };
  return {
    case: open,
    newest: () => newest.current,
    change: (form) => keep(() => ({ form })),
    addPhoto: (photo) =>
      keep(({ photos }) => ({
        photos: [...photos.filter((one) => one.sha !== photo.sha), photo],
      })),
    removePhoto: (sha) =>
      keep(({ photos }) => ({ photos: photos.filter((one) => one.sha !== sha) })),
    startOver: () => {
      show(undefined);
      void dropDraft(key)
        .then(() => openCase(source))
        .then(show);
    },
    close: () => {
      closed.current = true;
    },
    reopen: () => {
      closed.current = false;
    },
    unkept,
  };
}
