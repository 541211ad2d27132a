import { useState } from "preact/hooks";
import { erasePhoto } from "../actions/photos";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t } from "../i18n";
import { worded } from "../i18n/problems";

/** Removes a photo for good, for everybody; asks once, on the spot, and says what stays. */
export function PhotoErase({ sha }: { sha: string }) {
  const [asked, setAsked] = useState(false);
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const erase = async () => {
    setBusy(true);
    setProblem(await erasePhoto(sha));
    setBusy(false);
  };
  if (!asked) {
    return (
      <button type="button" class="btn btn--plain" onClick={() => setAsked(true)}>
        {t("app.photo.erase")}
      </button>
    );
  }
  return (
    <div class="ask" role="alertdialog" aria-label={t("app.photo.erase")}>
      <p>{t("app.photo.erase_ask")}</p>
      {problem && <ProblemNote problem={worded(problem)} />}
      <div class="visit__acts">
        <button type="button" class="btn" disabled={busy} onClick={() => void erase()}>
          {t("app.photo.erase_yes")}
        </button>
        <button type="button" class="btn" onClick={() => setAsked(false)}>
          {t("app.photo.erase_no")}
        </button>
      </div>
    </div>
  );
}
