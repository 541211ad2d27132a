import { useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { type RecordsBehind, readBehind } from "../actions/report";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t, tn, word } from "../i18n";
import { Desk } from "./desk";
import { amountWithUnit, momentOnPaper } from "./report-figures";
import { worded } from "./use-register";

/** Every record a number of the report was made of, oldest first. */
export function ReportRecordsScreen() {
  const { query } = useLocation();
  const { of = "visits", year = "", planter, site, flag } = query;
  const [found, setFound] = useState<RecordsBehind | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  useEffect(() => {
    const behind = {
      of,
      year,
      ...(planter && { planter }),
      ...(site && { site }),
      ...(flag && { flag }),
    };
    void readBehind(behind).then((answer) => {
      setProblem(answer.problem ? worded(answer.problem) : null);
      setFound(answer.value ?? null);
    });
  }, [of, year, planter, site, flag]);
  const total = found?.records.reduce((sum, one) => sum + Math.round(10 * (one.litres_l ?? 0)), 0);
  return (
    <Desk current="register" title={word("report_behind", of)}>
      <a class="btn no-print" href={`/report?year=${year}`}>
        {t("app.seasonreport.back")}
      </a>
      {problem && <ProblemNote problem={problem} />}
      {found && (
        <div class="report">
          <p>
            <b>{tn("app.seasonreport.records", found.count)}</b>
            {total ? `, ${amountWithUnit(total / 10)}` : ""}
          </p>
          <table class="table report__table report__table--records">
            <thead>
              <tr>
                <th scope="col">{t("app.seasonreport.when")}</th>
                <th scope="col">{t("app.seasonreport.planter")}</th>
                <th scope="col">{t("app.seasonreport.kind")}</th>
                <th scope="col">{t("app.seasonreport.by")}</th>
                <th scope="col" class="num">
                  {t("app.seasonreport.amount")}
                </th>
                <th scope="col">{t("app.seasonreport.note")}</th>
              </tr>
            </thead>
            <tbody>
              {found.records.map((one) => (
                <tr key={one.record}>
                  <th scope="row">{momentOnPaper(one.at)}</th>
                  <td>
                    <a class="table__way" href={`/p/${one.planter.id}`}>
                      {one.planter.name}
                    </a>
                  </td>
                  <td>{word("kind", one.kind)}</td>
                  <td>{one.by}</td>
                  <td class="num">{one.litres_l === null ? "" : amountWithUnit(one.litres_l)}</td>
                  <td>{one.note}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Desk>
  );
}
