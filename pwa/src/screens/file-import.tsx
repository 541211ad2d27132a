import { useEffect, useState } from "preact/hooks";
import type { Answer } from "../actions/register";
import { Field } from "../components/field";
import { FileInput } from "../components/file-input";
import { ProblemNote } from "../components/problem-note";
import type { ImportReport, Problem } from "../domain/planter";
import { t, tn } from "../i18n";
import { worded } from "./use-register";

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

export interface FileImportProps {
  title: string;
  /** The columns as they stand in the file's first row, and what is to be known of them. */
  columns: string;
  hint: string;
  /** Where the plural words of this import are: ".ready", ".take" and ".done". */
  words: "app.import" | "app.weather.file" | "app.freezedates.file" | "app.files.take_in";
  /** Tries the file (`dry`) or takes it in. */
  take: (csv: string, dry: boolean) => Promise<Answer<ImportReport>>;
  reload: () => Promise<void>;
  /** The file chosen is tried again when this changes: an answer it was read with. */
  again?: string;
}

/** A CSV file, tried first and taken in only when every row is right. */
export function FileImport(props: FileImportProps) {
  const { words, take, reload } = props;
  const [csv, setCsv] = useState<string | null>(null);
  const [report, setReport] = useState<ImportReport | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [done, setDone] = useState(false);
  const run = async (text: string, dry: boolean) => {
    const answer = await take(text, dry);
    setProblem(answer.problem ? worded(answer.problem) : null);
    setReport(answer.value ?? null);
    setDone(!dry && answer.value !== undefined && answer.value.errors.length === 0);
    if (!dry) await reload();
  };
  useEffect(() => {
    if (csv !== null && !done) void run(csv, true);
  }, [props.again]);
  const chosen = async (file: File) => {
    const text = await file.text();
    setCsv(text);
    setDone(false);
    await run(text, true);
  };
  const clean = report && report.errors.length === 0;
  return (
    <section class="stack">
      <h2>{props.title}</h2>
      <p>{t("app.import.how")}</p>
      <p class="code">{props.columns}</p>
      <p class="small soft">{props.hint}</p>
      <Field label={t("app.import.file")}>
        <FileInput accept=".csv,text/csv" onFile={(file) => void chosen(file)} />
      </Field>
      {problem && <ProblemNote problem={problem} />}
      {report && !clean && <Faults report={report} />}
      {done && report && <p role="status">{tn(`${words}.done`, report.created)}</p>}
      {clean && !done && csv !== null && (
        <>
          <p>{tn(`${words}.ready`, report.created)}</p>
          <button
            type="button"
            class={words === "app.import" ? "act" : "btn btn--main"}
            onClick={() => void run(csv, false)}
          >
            {tn(`${words}.take`, report.created)}
          </button>
        </>
      )}
    </section>
  );
}
