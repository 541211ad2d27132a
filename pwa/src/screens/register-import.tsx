import { useState } from "preact/hooks";
import { importPlanters } from "../actions/register";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { ImportReport, Problem } from "../domain/planter";
import { t, tn } from "../i18n";
import { worded } from "./use-register";

const COLUMNS =
  "name, site, size, shape, reservoir_l, gauge, status, installed_on, weight_moist_kg, weight_full_kg, planted_on, plants, notes";

function Faults({ report }: { report: ImportReport }) {
  return (
    <div class="stack" role="alert">
      <p>
        <b>{tn("app.import.faults", report.errors.length)}</b> {t("app.import.nothing_taken")}
      </p>
      <table class="table table--rows">
        <thead>
          <tr>
            <th scope="col">{t("app.import.row")}</th>
            <th scope="col">{t("app.import.column")}</th>
            <th scope="col">{t("app.import.what")}</th>
          </tr>
        </thead>
        <tbody>
          {report.errors.map((fault) => (
            <tr key={`${fault.row} ${fault.column} ${fault.detail}`}>
              <th scope="row">{t("app.import.row_n", { row: fault.row })}</th>
              <td>{fault.column}</td>
              <td>{fault.detail}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** Planters from a CSV file: tried first, taken only when every row is right. */
export function ImportPlanters({ reload }: { reload: () => Promise<void> }) {
  const [csv, setCsv] = useState<string | null>(null);
  const [report, setReport] = useState<ImportReport | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [done, setDone] = useState(false);
  const run = async (text: string, dry: boolean) => {
    const answer = await importPlanters(text, dry);
    setProblem(answer.problem ? worded(answer.problem) : null);
    setReport(answer.value ?? null);
    setDone(!dry && answer.value !== undefined && answer.value.errors.length === 0);
    if (!dry) await reload();
  };
  const chosen = async (file: File | undefined) => {
    const text = file ? await file.text() : null;
    setCsv(text);
    setDone(false);
    if (text !== null) await run(text, true);
  };
  const clean = report && report.errors.length === 0;
  return (
    <section class="stack">
      <h2>{t("app.import.title")}</h2>
      <p>{t("app.import.how")}</p>
      <p class="code">{COLUMNS}</p>
      <p class="small soft">{t("app.import.columns")}</p>
      <Field label={t("app.import.file")}>
        <input
          type="file"
          accept=".csv,text/csv"
          onChange={(e) => void chosen(e.currentTarget.files?.[0])}
        />
      </Field>
      {problem && <ProblemNote problem={problem} />}
      {report && !clean && <Faults report={report} />}
      {done && report && <p role="status">{tn("app.import.done", report.created)}</p>}
      {clean && !done && csv !== null && (
        <>
          <p>{tn("app.import.ready", report.created)}</p>
          <button type="button" class="act" onClick={() => void run(csv, false)}>
            {tn("app.import.take", report.created)}
          </button>
        </>
      )}
    </section>
  );
}
