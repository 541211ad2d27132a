/** The planting's draft: read once, kept at every change, gone when saved. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { FreshPhoto } from "../domain/outbox";
import type { PlanterCard } from "../domain/planter";
import { keepDraft, readDraft } from "../store/drafts";
import { emptyPlanting, type PlantingForm, startingForm } from "./planted-form";

export interface PlantingCase {
  form: PlantingForm;
  photos: FreshPhoto[];
}

export interface PlantingOnScreen {
  /** undefined: not read yet. */
  case: PlantingCase | undefined;
  /** The same as it is by now, also in a press that has waited. */
  newest: () => PlantingCase | undefined;
  change: (form: PlantingForm) => void;
  addPhoto: (photo: FreshPhoto) => void;
  removePhoto: (sha: string) => void;
  /** No draft may be written once Save has begun. */
  close: () => void;
  reopen: () => void;
}

export function plantingKey(planter: string): string {
  return `planting:${planter}`;
}

/** The form with its draft behind it. */
export function usePlanting(planter: string, card: PlanterCard | undefined): PlantingOnScreen {
  const [open, setOpen] = useState<PlantingCase | undefined>(undefined);
  const newest = useRef(open);
  const closed = useRef(false);
  const known = card !== undefined;
  const show = (next: PlantingCase) => {
    newest.current = next;
    setOpen(next);
  };
  useEffect(() => {
    let wanted = true;
    if (card) {
      void readDraft(plantingKey(planter)).then((draft) => {
        if (!wanted) return;
        const form = { ...emptyPlanting(), ...(draft?.form as Partial<PlantingForm>) };
        show(draft ? { form, photos: draft.photos } : { form: startingForm(card), photos: [] });
      });
    }
    return () => {
      wanted = false;
    };
  }, [planter, known]);
  const keep = (change: (now: PlantingCase) => Partial<PlantingCase>) => {
    const now = newest.current;
    if (!now || closed.current) return;
    const next = { ...now, ...change(now) };
    show(next);
    // A full phone says so at Save, where it matters.
    void keepDraft(plantingKey(planter), planter, next.form, next.photos).catch(() => undefined);
  };
  return {
    case: open,
    newest: () => newest.current,
    change: (form) => keep(() => ({ form })),
    addPhoto: (photo) =>
      keep(({ photos }) => ({ photos: [...photos.filter((one) => one.sha !== photo.sha), photo] })),
    removePhoto: (sha) =>
      keep(({ photos }) => ({ photos: photos.filter((one) => one.sha !== sha) })),
    close: () => {
      closed.current = true;
    },
    reopen: () => {
      closed.current = false;
    },
  };
}
