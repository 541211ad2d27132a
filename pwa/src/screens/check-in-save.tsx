import { useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { NobodyJoined, StoreFull, saveCheckIn, saveCorrection } from "../actions/save";
import { Kerb } from "../components/kerb";
import { fromMicro, type LastFed } from "../domain/feeding";
import type { PlanterCard } from "../domain/planter";
import type { Litres } from "../domain/water";
import { dayAhead, LITRES_IN_A_GALLON, number, since, t, volume } from "../i18n";
import {
  type CaseOnScreen,
  type CheckInCase,
  type CheckInSource,
  draftKey,
} from "./check-in-draft";
import { bodyFrom, type CheckInForm, type Question, questionsFor } from "./check-in-form";
import { useSaving } from "./use-saving";

function questionWords(
  question: Question,
  form: CheckInForm,
  card: PlanterCard,
  fed: LastFed | null,
): string {
  switch (question) {
    case "far_more":
      return t("app.check_in.ask_far_more", {
        litres: volume(form.litres_l ?? 0),
        holds: volume(card.reservoir_l),
      });
    case "gallons":
    case "litres": {
      const told = form.litres_l ?? 0;
      const factor = question === "gallons" ? LITRES_IN_A_GALLON : 1 / LITRES_IN_A_GALLON;
      const words = { told: volume(told), meant: volume(told * factor) };
      return t(`app.check_in.ask_${question}`, words);
    }
    case "plug_out_full":
      return t("app.check_in.ask_plug_out_full");
    case "fed_early":
      return t("app.feed.ask_early", {
        ago: fed ? since(fed.at) : "",
        by: fed?.by ?? "",
        next: fed?.next ? t("app.feed.next_on", { day: dayAhead(fed.next) }) : "",
      }).trim();
    case "fed_dry":
      return t("app.feed.ask_dry");
    case "ec_micro":
      return t("app.salt.ask_micro", {
        typed: number(form.ec_ms_cm ?? 0),
        meant: number(fromMicro(form.ec_ms_cm) ?? 0, 3),
      });
    case "ec_half":
      return t("app.salt.ask_half");
    case "nothing_said":
      return t("app.check_in.ask_nothing_said");
  }
}

function troubleWords(error: unknown): string {
  if (error instanceof StoreFull) return t("app.check_in.storage_full");
  if (error instanceof NobodyJoined) return t("app.check_in.nobody_joined");
  return t("app.check_in.not_kept");
}

/** Keeps the record on this phone; gives its id once it is durable. */
async function keep(open: CheckInCase, source: CheckInSource): Promise<string> {
  const round = open.form.round ?? (open.replaces ? undefined : source.round);
  const body = { ...bodyFrom(open.form), ...(round ? { round } : {}) };
  const options = {
    draft: draftKey(source),
    ...(source.fixes ? { fixes: source.fixes } : {}),
  };
  const saved = open.replaces
    ? await saveCorrection(source.planter, open.replaces, body, open.photos, options)
    : await saveCheckIn(source.planter, body, open.photos, options);
  return saved.entry.id;
}

/** Saving once, however often it is pressed, and what went wrong. `asks`: not before the answer. */
function useSave(draft: CaseOnScreen, source: CheckInSource) {
  const { route } = useLocation();
  const [trouble, setTrouble] = useState<string | null>(null);
  const { busy, saving } = useSaving();
  const save = (asks: (open: CheckInCase) => boolean) =>
    void saving(async () => {
      const open = draft.newest();
      if (!open || asks(open)) return false;
      draft.close();
      try {
        const record = await keep(open, source);
        navigator.vibrate?.(40);
        route(`/saved/${record}`, true);
        return true;
      } catch (error) {
        draft.reopen();
        setTrouble(troubleWords(error));
        return false;
      }
    });
  return { save, busy, trouble };
}

interface SaveKerbProps {
  card: PlanterCard;
  draft: CaseOnScreen;
  source: CheckInSource;
  /** The feed before this one, where a second would be one too many. */
  fed: LastFed | null;
  /** Litres to expect, before they are worded. */
  expected: Litres | null;
}

/** Saves, asks first where something looks odd, and says why when it could not be kept. */
export function SaveKerb({ card, draft, source, fed, expected }: SaveKerbProps) {
  const [asked, setAsked] = useState<Question[]>([]);
  const { save, busy, trouble } = useSave(draft, source);
  const open = draft.case;
  if (!open) return null;
  const press = () =>
    save(({ form, photos }) => {
      const questions = questionsFor(form, card, photos.length, fed, expected);
      setAsked(questions);
      return questions.length > 0;
    });
  const wrong = trouble && <p role="alert">{trouble}</p>;
  if (!asked.length) {
    return (
      <Kerb>
        {wrong}
        <button type="button" class="act" aria-disabled={busy} onClick={press}>
          {t("app.check_in.save")}
        </button>
      </Kerb>
    );
  }
  return (
    <Kerb>
      <div class="ask" role="alertdialog" aria-label={t("app.check_in.ask")}>
        {wrong}
        {asked.map((question) => (
          <p key={question}>
            <b>{questionWords(question, open.form, card, fed)}</b>
          </p>
        ))}
        {/* A figure that cannot be is put right first: the server would refuse it. */}
        {!asked.includes("ec_micro") && (
          <button type="button" class="act" aria-disabled={busy} onClick={() => save(() => false)}>
            {t("app.check_in.ask_yes")}
          </button>
        )}
        <button type="button" class="btn" onClick={() => setAsked([])}>
          {t("app.check_in.ask_no")}
        </button>
      </div>
    </Kerb>
  );
}
