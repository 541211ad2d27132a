import type { ComponentChildren } from "preact";
import { type Behind, recordsWay, type SeasonFigures, type SeasonReport } from "../actions/report";
import {
  clock,
  dayOf,
  dayWords,
  LITRES_IN_A_GALLON,
  number,
  t,
  tenths,
  volumeUnit,
  word,
} from "../i18n";

const NBSP = "\u00a0";
export const HOWS = ["hose-timer", "typed", "to-overflow", "not-said", "overhead"] as const;
export type How = (typeof HOWS)[number];

/** Litres to the tenth, as they were counted; lines add up to their totals. */
export function amount(litres: number): string {
  const us = volumeUnit() === "gal";
  return tenths(us ? litres / LITRES_IN_A_GALLON : litres);
}

export function amountWithUnit(litres: number): string {
  return `${amount(litres)}${NBSP}${volumeUnit()}`;
}

/** With day and year: on paper "today" means nothing. */
export function momentOnPaper(at: string): string {
  const day = dayOf(at);
  return `${dayWords(day)} ${day.slice(0, 4)}, ${clock(at)}`;
}

export function hoursWords(minutes: number): string {
  return t("app.seasonreport.hours_words", { hours: number(minutes / 60, 2) });
}

/** A number that opens the records it was made of; nothing is behind a nought. */
export function Counted(props: { value: number; behind: Behind; children?: ComponentChildren }) {
  const shown = props.children ?? number(props.value);
  if (props.value === 0) return <>{shown}</>;
  return (
    <a class="table__way" href={recordsWay(props.behind)}>
      {shown}
    </a>
  );
}

/** One figure of the season beside that of the season before. */
interface Row {
  key: string;
  of: string;
  value: (figures: SeasonFigures) => number | null;
  words?: (value: number) => string;
}

const ROWS: Row[] = [
  ...HOWS.map((how) => ({
    key: `water-${how}`,
    of: `water-${how}`,
    value: (one: SeasonFigures) => one.water[how],
    words: amountWithUnit,
  })),
  { key: "unmeasured", of: "unmeasured-fills", value: (one) => one.unmeasured_fills },
  { key: "visits", of: "visits", value: (one) => one.visits },
  { key: "steps", of: "steps", value: (one) => one.steps },
  { key: "seen-empty", of: "seen-empty", value: (one) => one.seen_empty_days },
  { key: "believed-empty", of: "believed-empty", value: (one) => one.believed_empty_days },
  { key: "avoided", of: "avoided", value: (one) => one.avoided_days },
  { key: "raised", of: "flags", value: (one) => one.flags.raised },
  { key: "cleared", of: "cleared", value: (one) => one.flags.cleared },
  {
    key: "median",
    of: "median",
    value: (one) => one.flags.median_days,
    words: (days) => t("app.seasonreport.days", { days: number(days, 1) }),
  },
  { key: "decisions", of: "decisions", value: (one) => one.decisions },
  { key: "losses", of: "losses", value: (one) => one.losses },
  { key: "proven", of: "proven", value: (one) => one.winter.proven },
  {
    key: "not-proven",
    of: "not-proven",
    value: (one) => one.planters - one.winter.proven,
  },
];

function Cell({ row, figures, year }: { row: Row; figures: SeasonFigures; year: number }) {
  const value = row.value(figures);
  if (value === null) return <>{t("app.seasonreport.not_known")}</>;
  const said = row.words ? row.words(value) : number(value);
  return (
    <Counted value={value} behind={{ of: row.of, year }}>
      {said}
    </Counted>
  );
}

/** The whole town's season, beside the one before where there is one. */
export function TownFigures({ report }: { report: SeasonReport }) {
  const { before } = report;
  return (
    <table class="table report__town">
      <caption>{t("app.seasonreport.town")}</caption>
      <thead>
        <tr>
          <th scope="col">{t("app.seasonreport.what")}</th>
          <th scope="col" class="num">
            {report.year}
          </th>
          {before && (
            <th scope="col" class="num">
              {before.year}
            </th>
          )}
        </tr>
      </thead>
      <tbody>
        {ROWS.map((row) => (
          <tr key={row.key}>
            <th scope="row">{word("report_row", row.key)}</th>
            <td class="num">
              <Cell row={row} figures={report.town} year={report.year} />
            </td>
            {before && (
              <td class="num">
                <Cell row={row} figures={before.town} year={before.year} />
              </td>
            )}
          </tr>
        ))}
        <tr>
          <th scope="row">{word("report_row", "hours")}</th>
          <td class="num">
            <Counted value={report.hours.minutes} behind={{ of: "hours", year: report.year }}>
              {hoursWords(report.hours.minutes)}
            </Counted>
          </td>
          {before && (
            <td class="num">
              <Counted value={before.minutes} behind={{ of: "hours", year: before.year }}>
                {hoursWords(before.minutes)}
              </Counted>
            </td>
          )}
        </tr>
      </tbody>
    </table>
  );
}
