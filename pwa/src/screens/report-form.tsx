/** Something is wrong here: what it is, and a few words if wanted. No name, no photo. */

import { useState } from "preact/hooks";
import { sendReport } from "../actions/public";
import { Caution } from "../components/caution";
import { Kerb } from "../components/kerb";
import { PickRow } from "../components/pick-row";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { REPORT_WHAT, type ReportWhat } from "../domain/records";
import { number, t, word } from "../i18n";
import { worded } from "../i18n/problems";

const LONGEST = 500;

export interface ReportFormProps {
  code: string;
  planter: string;
  onLeave: () => void;
}

function Thanks({ onLeave }: { onLeave: () => void }) {
  return (
    <>
      <main>
        <section class="pot" role="status">
          <h1>{t("app.report.thanks")}</h1>
          <p>{t("app.report.next")}</p>
        </section>
      </main>
      <Kerb>
        <button type="button" class="act" onClick={onLeave}>
          {t("app.report.back")}
        </button>
      </Kerb>
    </>
  );
}

/** The report form. What was typed stays until the server has it. */
export function ReportForm({ code, planter, onLeave }: ReportFormProps) {
  const [what, setWhat] = useState<ReportWhat | null>(null);
  const [text, setText] = useState("");
  const [busy, setBusy] = useState(false);
  const [sent, setSent] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const send = async (event: Event) => {
    event.preventDefault();
    if (!what || busy) return;
    setBusy(true);
    setProblem(null);
    const answer = await sendReport(code, what, text.trim());
    setBusy(false);
    if (answer.problem) setProblem(worded(answer.problem));
    else setSent(true);
  };
  if (sent) return <Thanks onLeave={onLeave} />;
  return (
    <form class="report" onSubmit={(event) => void send(event)}>
      <main>
        <h1>{t("app.report.title", { planter })}</h1>
        <PickRow
          legend={t("app.report.what")}
          choices={REPORT_WHAT.map((value) => ({ value, word: word("report_what", value) }))}
          value={what}
          onPick={setWhat}
        />
        {what === "blocking" && <Caution>{t("app.report.do_not_move")}</Caution>}
        <label class="line">
          <span>{t("app.report.words")}</span>
          <textarea
            value={text}
            maxLength={LONGEST}
            rows={3}
            onInput={(event) => setText(event.currentTarget.value)}
          />
          <span class="line__hint">
            {t("app.report.left", { left: number(LONGEST - text.length) })}{" "}
            {t("app.report.no_people")}
          </span>
        </label>
        {problem && <ProblemNote problem={problem} todo={t("app.report.kept")} />}
      </main>
      <Kerb>
        <button type="submit" class="act" aria-disabled={!what || busy}>
          {busy ? t("app.report.busy") : t("app.report.send")}
        </button>
        <button type="button" class="btn btn--wide" onClick={onLeave}>
          {t("app.report.leave")}
        </button>
      </Kerb>
    </form>
  );
}
