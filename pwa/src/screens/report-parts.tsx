import type { PlanterFigures, SeasonFigures, SeasonReport } from "../actions/report";
import { dayWords, number, t, tn, volumeUnit, word } from "../i18n";
import { money } from "../i18n/measures";
import { amount, Counted, HOWS, hoursWords, momentOnPaper } from "./report-figures";

type Part = { planter?: string; site?: string };

function Litres(props: { figures: SeasonFigures; year: number; part: Part }) {
  return (
    <>
      {HOWS.map((how) => (
        <td key={how} class="num" data-label={word("report_how", how)}>
          <Counted
            value={props.figures.water[how]}
            behind={{ of: `water-${how}`, year: props.year, ...props.part }}
          >
            {amount(props.figures.water[how])}
          </Counted>
        </td>
      ))}
      <td class="num" data-label={t("app.seasonreport.visits")}>
        <Counted
          value={props.figures.visits}
          behind={{ of: "visits", year: props.year, ...props.part }}
        />
      </td>
    </>
  );
}

/** Water by site and planter; each way of knowing in a column of its own. */
export function WaterTable({ report }: { report: SeasonReport }) {
  return (
    <section class="report__part">
      <h2>{t("app.seasonreport.water_title", { unit: volumeUnit() })}</h2>
      <p class="soft">
        {t("app.seasonreport.water_hint")}{" "}
        <span class="no-print">{t("app.seasonreport.opens")}</span>
      </p>
      <table class="table report__table">
        <thead>
          <tr>
            <th scope="col">{t("app.seasonreport.planter")}</th>
            {HOWS.map((how) => (
              <th key={how} scope="col" class="num">
                {word("report_how", how)}
              </th>
            ))}
            <th scope="col" class="num">
              {t("app.seasonreport.visits")}
            </th>
          </tr>
        </thead>
        {report.sites.map((site) => (
          <tbody key={site.id}>
            <tr class="report__site">
              <th scope="row">{site.name}</th>
              <Litres figures={site} year={report.year} part={{ site: site.id }} />
            </tr>
            {report.planters
              .filter((planter) => planter.site.id === site.id)
              .map((planter) => (
                <tr key={planter.id}>
                  <th scope="row">
                    <a class="table__way" href={`/p/${planter.id}`}>
                      {planter.name}
                    </a>
                  </th>
                  <Litres figures={planter} year={report.year} part={{ planter: planter.id }} />
                </tr>
              ))}
          </tbody>
        ))}
      </table>
    </section>
  );
}

export function FlagTable({ report }: { report: SeasonReport }) {
  if (!report.flags.length) return null;
  const heads = ["raised", "cleared", "still_up", "median"] as const;
  return (
    <section class="report__part">
      <h2>{t("app.seasonreport.flags_title")}</h2>
      <p class="soft">{t("app.seasonreport.flags_hint")}</p>
      <table class="table report__table">
        <thead>
          <tr>
            <th scope="col">{t("app.seasonreport.flag")}</th>
            {heads.map((head) => (
              <th key={head} scope="col" class="num">
                {t(`app.seasonreport.${head}`)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {report.flags.map((one) => (
            <tr key={one.code}>
              <th scope="row">{one.name}</th>
              <td class="num" data-label={t("app.seasonreport.raised")}>
                <Counted
                  value={one.raised}
                  behind={{ of: "flags", year: report.year, flag: one.code }}
                />
              </td>
              <td class="num" data-label={t("app.seasonreport.cleared")}>
                <Counted
                  value={one.cleared}
                  behind={{ of: "cleared", year: report.year, flag: one.code }}
                />
              </td>
              <td class="num" data-label={t("app.seasonreport.still_up")}>
                <Counted
                  value={one.still_up}
                  behind={{ of: "still-up", year: report.year, flag: one.code }}
                />
              </td>
              <td class="num" data-label={t("app.seasonreport.median")}>
                {one.median_days === null ? (
                  "–"
                ) : (
                  <Counted
                    value={one.median_days}
                    behind={{ of: "median", year: report.year, flag: one.code }}
                  >
                    {number(one.median_days, 1)}
                  </Counted>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

export function Losses({ report }: { report: SeasonReport }) {
  return (
    <section class="report__part">
      <h2>{t("app.seasonreport.losses_title")}</h2>
      {report.losses.length === 0 && <p>{t("app.seasonreport.no_losses")}</p>}
      <ul class="left-open">
        {report.losses.map((one) => (
          <li key={`${one.planter.id} ${one.day} ${one.what}`}>
            <a class="table__way" href={`/p/${one.planter.id}`}>
              {one.planter.name}
            </a>
            {`: ${word("report_loss", one.what)}, ${dayWords(one.day)} ${one.day.slice(0, 4)}`}
          </li>
        ))}
      </ul>
    </section>
  );
}

export function HoursAndCost({ report }: { report: SeasonReport }) {
  const { cost } = report;
  return (
    <section class="report__part">
      <h2>{t("app.seasonreport.hours_title")}</h2>
      <p class="soft">{t("app.seasonreport.hours_hint")}</p>
      {report.hours.people.length === 0 && <p>{t("app.seasonreport.no_hours")}</p>}
      <ul class="left-open">
        {report.hours.people.map((one) => (
          <li key={one.person.id}>
            {`${one.person.name}: `}
            <Counted
              value={one.minutes}
              behind={{ of: "hours", year: report.year, person: one.person.id }}
            >
              {hoursWords(one.minutes)}
            </Counted>
            {`, ${tn("app.seasonreport.rounds", one.rounds)}`}
            {one.unsure > 0 && `, ${tn("app.seasonreport.unsure", one.unsure)}`}
          </li>
        ))}
      </ul>
      <h2>{t("app.seasonreport.cost_title")}</h2>
      {!cost && <p>{t("app.seasonreport.cost_past")}</p>}
      {cost && cost.cost === null && <p>{t("app.seasonreport.cost_none")}</p>}
      {cost && cost.cost !== null && (
        <p>
          <a class="table__way" href="/planting">
            {t("app.seasonreport.cost", { money: money(cost.cost, cost.currency ?? "") })}
          </a>
        </p>
      )}
      {cost && cost.unpriced.length > 0 && (
        <p>{t("app.seasonreport.unpriced", { names: cost.unpriced.join(", ") })}</p>
      )}
    </section>
  );
}

function proofWords(planter: PlanterFigures): string {
  const { proof } = planter;
  return [
    t("app.season.steps", { done: proof.done, of: proof.of }),
    proof.plug_place ? t("app.planter.plug_place", { place: proof.plug_place }) : "",
    proof.by && proof.at ? `${proof.by}, ${momentOnPaper(proof.at)}` : "",
    proof.second ? t("app.winter.with", { name: proof.second }) : "",
    proof.photos ? tn("app.season.photos", proof.photos) : "",
    proof.missing.join(", "),
  ]
    .filter(Boolean)
    .join("; ");
}

/** Which drain was proven open, by whom and how; what is missing where it was not. */
export function WinterTable({ report }: { report: SeasonReport }) {
  return (
    <section class="report__part">
      <h2>{t("app.seasonreport.winter_title")}</h2>
      <table class="table report__table report__table--words">
        <thead>
          <tr>
            <th scope="col">{t("app.seasonreport.planter")}</th>
            <th scope="col">{t("app.seasonreport.state")}</th>
            <th scope="col">{t("app.seasonreport.proof")}</th>
          </tr>
        </thead>
        <tbody>
          {report.planters.map((planter) => (
            <tr key={planter.id}>
              <th scope="row">
                <a class="table__way" href={`/p/${planter.id}/winter`}>
                  {planter.name}
                </a>
              </th>
              <td>{word("season_state", planter.proof.state)}</td>
              <td>{proofWords(planter)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
