import { useState } from "preact/hooks";
import { type FileTaken, readOutboxFile, takeInFile } from "../actions/outbox-file";
import { Field } from "../components/field";
import { FileInput } from "../components/file-input";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t, tn } from "../i18n";
import { worded } from "./use-register";

function Outcome({ taken }: { taken: FileTaken }) {
  const { known, held, photos } = taken;
  return (
    <div class="stack" role="status">
      <p>
        <b>{tn("app.outbox_file.stored", taken.stored)}</b>{" "}
        {t("app.outbox_file.rest", { known, held, photos })}
      </p>
      {taken.refused.length > 0 && (
        <>
          <p>{tn("app.outbox_file.refused", taken.refused.length)}</p>
          <ul>
            {[...new Set(taken.refused)].map((why) => (
              <li key={why}>{why}</li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}

/** Takes in the file that a phone saved its unsent work to, photos too. */
export function OutboxImport({ reload }: { reload: () => Promise<void> }) {
  const [taken, setTaken] = useState<FileTaken | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [busy, setBusy] = useState(false);
  const [wrong, setWrong] = useState(false);
  const chosen = async (picked: File) => {
    setTaken(null);
    setProblem(null);
    const file = readOutboxFile(await picked.text());
    setWrong(!file);
    if (!file) return;
    setBusy(true);
    const done = await takeInFile(file);
    setTaken(done.taken);
    setProblem(done.problem ? worded(done.problem) : null);
    setBusy(false);
    await reload();
  };
  return (
    <section class="stack">
      <h2>{t("app.outbox_file.title")}</h2>
      <p>{t("app.outbox_file.how")}</p>
      <Field
        label={t("app.outbox_file.file")}
        wrong={wrong ? t("app.outbox_file.not_ours") : undefined}
      >
        <FileInput
          accept=".json,application/json"
          disabled={busy}
          onFile={(file) => void chosen(file)}
        />
      </Field>
      {busy && <p role="status">{t("app.outbox_file.busy")}</p>}
      {problem && <ProblemNote problem={problem} todo={t("app.outbox_file.again")} />}
      {taken && <Outcome taken={taken} />}
    </section>
  );
}
