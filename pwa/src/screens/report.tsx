import { useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { readSeasonReport, type SeasonReport, seasonTable } from "../actions/report";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { dayWords, t, tn } from "../i18n";
import { Desk } from "./desk";
import { momentOnPaper, TownFigures } from "./report-figures";
import { FlagTable, HoursAndCost, Losses, WaterTable, WinterTable } from "./report-parts";
import { worded } from "./use-register";

function dayAndYear(day: string): string {
  return `${dayWords(day)} ${day.slice(0, 4)}`;
}

/** What the figures mean, and what they cannot know. */
function Meaning({ report }: { report: SeasonReport }) {
  const { believed } = report;
  return (
    <section class="report__part">
      <h2>{t("app.seasonreport.meaning_title")}</h2>
      <ul class="report__meaning">
        <li>{t("app.seasonreport.meaning_water")}</li>
        <li>{t("app.seasonreport.meaning_seen")}</li>
        <li>
          {believed
            ? t("app.seasonreport.meaning_believed", {
                from: dayAndYear(believed.from),
                to: dayAndYear(believed.to),
                planters: tn("app.plan.planters", believed.planters),
              })
            : t("app.seasonreport.meaning_no_balance")}
        </li>
        <li>{t("app.seasonreport.meaning_flags")}</li>
        <li>{t("app.seasonreport.meaning_late")}</li>
      </ul>
    </section>
  );
}

function Report({ report }: { report: SeasonReport }) {
  return (
    <div class="report">
      <p>
        <b>
          {t(report.whole ? "app.seasonreport.span" : "app.seasonreport.span_so_far", {
            from: dayAndYear(report.begins),
            to: dayAndYear(report.until),
            planters: tn("app.plan.planters", report.town.planters),
          })}
        </b>{" "}
        {report.closed_at
          ? t("app.seasonreport.closed", { when: momentOnPaper(report.closed_at) })
          : t("app.seasonreport.open")}{" "}
        {t("app.seasonreport.made", { when: momentOnPaper(report.made_at) })}
      </p>
      {!report.before && <p>{t("app.seasonreport.no_before")}</p>}
      <TownFigures report={report} />
      <WaterTable report={report} />
      <FlagTable report={report} />
      <Losses report={report} />
      <HoursAndCost report={report} />
      <WinterTable report={report} />
      <Meaning report={report} />
    </div>
  );
}

/** What a season came to, for the town: made to be printed; every number opens its records. */
export function ReportScreen() {
  const { query, route } = useLocation();
  const [report, setReport] = useState<SeasonReport | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  useEffect(() => {
    void readSeasonReport(query.year).then((answer) => {
      setProblem(answer.problem ? worded(answer.problem) : null);
      setReport(answer.value ?? null);
    });
  }, [query.year]);
  const title = report
    ? t("app.seasonreport.title_of", { year: report.year })
    : t("app.seasonreport.title");
  return (
    <Desk current="report" title={title}>
      {report && (
        <div class="plan__head no-print">
          <Field label={t("app.seasonreport.season")}>
            <select
              value={String(report.year)}
              onChange={(e) => route(`/report?year=${e.currentTarget.value}`)}
            >
              {report.years.map((year) => (
                <option key={year} value={String(year)}>
                  {year}
                </option>
              ))}
            </select>
          </Field>
          <a class="btn" href={seasonTable(report.year)} download>
            {t("app.seasonreport.save")}
          </a>
          <button type="button" class="act" onClick={() => window.print()}>
            {t("app.seasonreport.print")}
          </button>
        </div>
      )}
      {problem && <ProblemNote problem={problem} />}
      {!report && !problem && <p role="status">{t("app.seasonreport.working")}</p>}
      {report && <Report report={report} />}
    </Desk>
  );
}
