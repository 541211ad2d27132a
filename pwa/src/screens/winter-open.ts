/** The opened step of a list, its draft behind it, and what went wrong when it was saved. */

import { useEffect, useRef, useState } from "preact/hooks";
import { NobodyJoined, StoreFull, saveStep } from "../actions/save";
import type { FreshPhoto } from "../domain/outbox";
import type { ListCard, PlanterCard } from "../domain/planter";
import type { StepBody } from "../domain/records";
import { t } from "../i18n";
import { dropDraft, keepDraft, readDraft } from "../store/drafts";
import { useSaving } from "./use-saving";
import { emptyStep, type StepForm, stepBody } from "./winter-step";

export interface OpenStep {
  code: string;
  form: StepForm;
  photos: FreshPhoto[];
}

function draftKey(card: PlanterCard, list: ListCard, code: string): string {
  return `step:${card.id}:${list.list}:${list.season}:${code}`;
}

function troubleWords(error: unknown): string {
  if (error instanceof StoreFull) return t("app.check_in.storage_full");
  if (error instanceof NobodyJoined) return t("app.check_in.nobody_joined");
  return t("app.check_in.not_kept");
}

/** The first step opened stays where it is; after that the eye follows the work. */
function useFollow(code: string | undefined): void {
  const moved = useRef(false);
  useEffect(() => {
    if (code && moved.current) {
      document.querySelector(".is-open .steps__body")?.scrollIntoView({ block: "nearest" });
    }
    moved.current ||= code !== undefined;
  }, [code]);
}

/** Opens the step that is next at first; keeps each change; saves and goes on to the next. */
export function useOpenStep(card: PlanterCard | undefined, list: ListCard | undefined) {
  const [open, setOpen] = useState<OpenStep | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const newest = useRef(open);
  const started = useRef(false);
  const asked = useRef(0);
  const { saving } = useSaving();
  useFollow(open?.code);

  const put = (next: OpenStep | null) => {
    newest.current = next;
    setOpen(next);
  };
  const show = (code: string | null) => {
    setTrouble(null);
    asked.current += 1;
    const mine = asked.current;
    if (!code || !card || !list) return put(null);
    void readDraft(draftKey(card, list, code)).then((draft) => {
      if (mine !== asked.current) return; // another step was opened meanwhile
      put({
        code,
        form: { ...emptyStep(), ...(draft?.form as Partial<StepForm> | undefined) },
        photos: draft?.photos ?? [],
      });
    });
  };
  // Only once, at the first reading, and not over what a person has opened by then.
  useEffect(() => {
    if (started.current || !list) return;
    started.current = true;
    if (!asked.current) show(list.next);
  }, [list]);

  const keep = (code: string | undefined, change: (now: OpenStep) => Partial<OpenStep>) => {
    const now = newest.current;
    // A photo that was ready after its step was left belongs to no other step.
    if (!now || now.code !== code || !card || !list) return;
    const next = { ...now, ...change(now) };
    put(next);
    void keepDraft(draftKey(card, list, next.code), card.id, next.form, next.photos).catch(() =>
      setTrouble(t("app.check_in.draft_unkept")),
    );
  };
  const keepStep = async (step: string | undefined, outcome: StepBody["outcome"]) => {
    const now = newest.current;
    // A step that was left while its photo was made small is not done.
    if (!now || now.code !== step || !card || !list) return;
    const { code, form, photos } = now;
    const at = { list: list.list, season: list.season, step: code };
    const key = draftKey(card, list, code);
    const done = outcome === "done";
    const before = asked.current;
    put(null); // no draft that comes back after the save
    try {
      const body: StepBody = done ? stepBody(form, at) : { ...at, outcome: "not-needed" };
      await saveStep(card.id, body, done ? photos : [], { draft: key });
      await dropDraft(key);
      navigator.vibrate?.(40);
      if (asked.current !== before) return; // the person has opened a step by now
      const later = list.steps.slice(list.steps.findIndex((step) => step.code === code) + 1);
      show(later.find((step) => step.state === "todo")?.code ?? null);
    } catch (error) {
      put(now);
      setTrouble(troubleWords(error));
    }
  };
  const save = (outcome: StepBody["outcome"]) => {
    const step = newest.current?.code;
    return saving(async () => {
      await keepStep(step, outcome);
      return false; // the list stays on the screen
    });
  };
  return {
    open,
    show,
    trouble,
    save,
    onForm: (form: StepForm) => keep(open?.code, () => ({ form })),
    onPhoto: (photo: FreshPhoto) =>
      keep(open?.code, ({ photos }) => ({
        photos: [...photos.filter((one) => one.sha !== photo.sha), photo],
      })),
    onRemove: (sha: string) =>
      keep(open?.code, ({ photos }) => ({ photos: photos.filter((one) => one.sha !== sha) })),
  };
}
