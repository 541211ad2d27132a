import { useMemo, useState } from "preact/hooks";
import { forgetLows, importLows, type LowsUnit } from "../actions/weather";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t } from "../i18n";
import { FileImport } from "./file-import";
import { worded } from "./use-register";

const COLUMNS = "DATE, TMIN";
const UNITS: LowsUnit[] = ["f", "c", "tenths-c"];

/** The old record goes, after a second tap. */
function TakeAway() {
  const [sure, setSure] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const take = async () => {
    const answer = await forgetLows();
    setProblem(answer.problem ? worded(answer.problem) : null);
    setSure(false);
  };
  return (
    <div class="stack">
      {problem && <ProblemNote problem={problem} />}
      {sure ? (
        <div class="row row--wrap">
          <p>{t("app.freezedates.take_away_sure")}</p>
          <button type="button" class="btn" onClick={() => void take()}>
            {t("app.freezedates.take_away_do")}
          </button>
          <button type="button" class="btn" onClick={() => setSure(false)}>
            {t("app.freezedates.keep")}
          </button>
        </div>
      ) : (
        <button type="button" class="btn" onClick={() => setSure(true)}>
          {t("app.freezedates.take_away")}
        </button>
      )}
    </div>
  );
}

/** A station's record of daily lows from a file. The unit is in the column's name, or asked. */
export function BringLows({ known }: { known: boolean }) {
  const [unit, setUnit] = useState("");
  const [replace, setReplace] = useState(false);
  const take = useMemo(
    () => (csv: string, dry: boolean) => importLows(csv, dry, unit as LowsUnit | "", replace),
    [unit, replace],
  );
  return (
    <section class="slab stack">
      <Field label={t("app.freezedates.unit")} hint={t("app.freezedates.unit_hint")}>
        <select value={unit} onChange={(e) => setUnit(e.currentTarget.value)}>
          <option value="">{t("app.freezedates.unit_named")}</option>
          {UNITS.map((one) => (
            <option key={one} value={one}>
              {t(`app.freezedates.unit_${one}`)}
            </option>
          ))}
        </select>
      </Field>
      {known && (
        <Field label={t("app.freezedates.what_of_old")}>
          <select
            value={replace ? "replace" : "add"}
            onChange={(e) => setReplace(e.currentTarget.value === "replace")}
          >
            <option value="add">{t("app.freezedates.add")}</option>
            <option value="replace">{t("app.freezedates.replace")}</option>
          </select>
        </Field>
      )}
      <FileImport
        title={t("app.freezedates.file_title")}
        columns={COLUMNS}
        hint={t("app.freezedates.file_hint")}
        words="app.freezedates.file"
        take={take}
        again={unit}
        reload={async () => {}}
      />
      {known && <TakeAway />}
    </section>
  );
}
