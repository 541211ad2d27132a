import { useEffect, useMemo, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { type RecordsBehind, readBehind } from "../actions/report";
import { Chooser, SearchBox } from "../components/list-tools";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { dayWords, t, tn, word } from "../i18n";
import { Desk } from "./desk";
import { amountWithUnit, momentOnPaper } from "./report-figures";
import { useQuery, useTyped } from "./use-query";
import { worded } from "./use-register";

type Row = RecordsBehind["records"][number];
type Part = RecordsBehind["parts"][number];

/** So few are seen at a glance. */
const FEW = 5;
const ORDERS = ["oldest", "newest", "planter", "most"];
const USUAL = { search: "", order: "oldest" };
const names = new Intl.Collator(undefined, { numeric: true });

function lookThrough(records: readonly Row[], search: string, order: string): Row[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  const rows = records.filter((one) => {
    const text = `${one.planter.name} ${word("kind", one.kind)} ${one.by} ${one.note}`;
    return words.every((wanted) => text.toLowerCase().includes(wanted));
  });
  if (order === "newest") return rows.reverse();
  if (order === "planter")
    return rows.sort((one, other) => names.compare(one.planter.name, other.planter.name));
  if (order === "most")
    return rows.sort((one, other) => (other.litres_l ?? 0) - (one.litres_l ?? 0));
  return rows;
}

function Records({ rows }: { rows: Row[] }) {
  return (
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
        {rows.map((one) => (
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
  );
}

/** A day with its year, as on paper. */
const dayOnPaper = (day: string) => `${dayWords(day)} ${day.slice(0, 4)}`;

/** What happened to a planter, in words: a flag's name, a loss, a state in winter, a believed day. */
function partWords(of: string, part: Part): string {
  if (of === "losses") return word("report_loss", part.what);
  if (of === "proven" || of === "not-proven") return word("season_state", part.what);
  return of === part.what ? word("report_behind", of) : part.what;
}

/** Flags with their days, days that are believed, planters: what a number counts beside records. */
function Parts({ of, parts }: { of: string; parts: Part[] }) {
  const winter = of === "proven" || of === "not-proven";
  return (
    <>
      <p>
        <b>{tn("app.seasonreport.parts", parts.length)}</b>
      </p>
      <table class="table report__table report__table--records">
        <thead>
          <tr>
            <th scope="col">{t("app.seasonreport.planter")}</th>
            <th scope="col">{t("app.seasonreport.part_what")}</th>
            {!winter && <th scope="col">{t("app.seasonreport.when")}</th>}
          </tr>
        </thead>
        <tbody>
          {parts.map((one) => (
            <tr key={`${one.planter.id} ${one.what} ${one.day}`}>
              <th scope="row">
                <a class="table__way" href={`/p/${one.planter.id}${winter ? "/winter" : ""}`}>
                  {one.planter.name}
                </a>
              </th>
              <td>{partWords(of, one)}</td>
              {!winter && (
                <td>
                  {one.day && dayOnPaper(one.day)}
                  {one.until &&
                    `: ${t("app.seasonreport.cleared_on", {
                      day: dayOnPaper(one.until),
                      days: tn("app.assets.days", one.days ?? 0),
                    })}`}
                </td>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

/** Everything a number of the report was made of, oldest first. */
export function ReportRecordsScreen() {
  const { query } = useLocation();
  const { of = "visits", year = "", planter, site, flag, person } = query;
  const [found, setFound] = useState<RecordsBehind | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  useEffect(() => {
    const behind = {
      of,
      year,
      ...(planter && { planter }),
      ...(site && { site }),
      ...(flag && { flag }),
      ...(person && { person }),
    };
    void readBehind(behind).then((answer) => {
      setProblem(answer.problem ? worded(answer.problem) : null);
      setFound(answer.value ?? null);
    });
  }, [of, year, planter, site, flag, person]);
  const [asked, change] = useQuery(USUAL);
  const [typed, setTyped] = useTyped(asked.search, (search) => change({ search }));
  const rows = useMemo(
    () => (found ? lookThrough(found.records, typed, asked.order) : []),
    [found, typed, asked.order],
  );
  const total = found?.records.reduce((sum, one) => sum + Math.round(10 * (one.litres_l ?? 0)), 0);
  return (
    <Desk current="report" title={word("report_behind", of)}>
      <a class="btn no-print" href={`/report?year=${year}`}>
        {t("app.seasonreport.back")}
      </a>
      {problem && <ProblemNote problem={problem} />}
      {found && (
        <div class="report">
          {found.parts.length > 0 && <Parts of={of} parts={found.parts} />}
          {(found.records.length > 0 || !found.parts.length) && (
            <p>
              <b>{tn("app.seasonreport.records", found.records.length)}</b>
              {total ? `, ${amountWithUnit(total / 10)}` : ""}
            </p>
          )}
          {found.records.length > FEW && (
            <div class="list-tools__find no-print">
              <SearchBox
                label={t("app.seasonreport.find_record")}
                value={typed}
                onType={setTyped}
              />
              <Chooser
                label={t("app.seasonreport.order")}
                value={asked.order}
                choices={ORDERS.map((value) => ({ value, word: word("records_order", value) }))}
                onChoose={(order) => change({ order })}
              />
            </div>
          )}
          {rows.length < found.records.length && (
            <p class="soft">
              {t("app.seasonreport.of_records", {
                count: rows.length,
                all: found.records.length,
              })}
            </p>
          )}
          {found.records.length > 0 && <Records rows={rows} />}
        </div>
      )}
    </Desk>
  );
}
