/** What stands over the board: nights to the freeze and to the early date, lows, and the tally. */

import type { ListCard, ListName, Night, PlanterCard, Town } from "../domain/planter";
import { daysBetween } from "../domain/time";
import { dayWords, t, temperature, tn, today, word } from "../i18n";
import { type EarlyDate, earlyDate } from "./winter-freeze";
import { type Tally, tally } from "./winter-tally";

const PX_A_DEGREE = 6;
const MOST_PX = 44;

/** Lows of the coming nights: below freezing they hang from the line, filled; above it they stand, open. */
function Lows({ nights }: { nights: Night[] }) {
  const coming = nights.filter((night) => night.date >= today()).slice(0, 6);
  if (!coming.length) return null;
  return (
    <ol class="lows" aria-label={t("app.board.lows")}>
      {coming.map((night) => {
        const frost = night.low_c <= 0;
        const tall = Math.min(MOST_PX, Math.max(3, Math.abs(night.low_c) * PX_A_DEGREE));
        return (
          <li key={night.date}>
            <span class="lows__above">
              <b class="num">{temperature(night.low_c)}</b>
              {!frost && <span class="lows__bar" style={{ height: `${tall}px` }} />}
            </span>
            <span class="lows__below">
              {frost && <span class="lows__bar" style={{ height: `${tall}px` }} />}
            </span>
            <span class="lows__day">{dayWords(night.date, true)}</span>
          </li>
        );
      })}
    </ol>
  );
}

/** Nights to the freeze of the forecast, or that it came. */
function Forecast({ town }: { town: Town }) {
  const { date, source } = town.freeze;
  const nights = date ? daysBetween(today(), date) : null;
  const low = town.freeze.nights.find((night) => night.date === date)?.low_c;
  if (date === null || nights === null || source === "site date" || source === "freeze odds") {
    return <p class="head">{t("app.board.no_forecast")}</p>;
  }
  return (
    <div class="row">
      {nights >= 0 && <span class="huge num">{nights}</span>}
      <div>
        <p class="head">
          {nights < 0
            ? t(source === "recorded low" ? "app.freeze.came" : "app.freeze.due")
            : tn("app.board.nights", nights)}
        </p>
        <p>
          {t("app.freeze.night_to", { day: dayWords(date) })}
          {low !== undefined && `, ${temperature(low)}`}
        </p>
      </div>
    </div>
  );
}

/** Nights to the day by which one autumn in ten has frozen, or to the day typed for a site. */
function Early({ early, forecast }: { early: EarlyDate; forecast: boolean }) {
  const nights = daysBetween(today(), early.date);
  const what = early.odds
    ? t("app.board.early_odds", { years: early.years ?? "" })
    : t("app.board.early_site", { site: early.site ?? "" });
  const day = dayWords(early.date);
  return (
    <div class="row">
      {nights >= 0 && <span class={`num ${forecast ? "large" : "huge"}`}>{nights}</span>}
      <p>
        <b>
          {nights < 0
            ? t("app.board.early_past", { day })
            : tn(early.odds ? "app.board.early_nights" : "app.board.early_nights_site", nights)}
        </b>
        <br />
        {nights < 0 ? what : `${day}: ${what}`}
      </p>
    </div>
  );
}

function TallyList({ counts, list }: { counts: Tally; list: ListName }) {
  const said = (state: ListCard["state"]) => word("list_state", `${list}.${state}`).toLowerCase();
  const lines: [number, string][] = [
    [counts.settled, t("app.board.settled_of", { state: said("proven"), of: counts.of })],
    [counts.unproven, said("unproven")],
    [counts.underWay, said("under-way")],
    [counts.notBegun, t("app.board.not_begun").toLowerCase()],
  ];
  return (
    <dl class="tally num">
      {lines.map(([count, state]) => (
        <div key={state}>
          <dt>{state}</dt>
          <dd>{count}</dd>
        </div>
      ))}
    </dl>
  );
}

/** Nights left by forecast and by the early date, and how many planters stand where. */
export function Count(props: { cards: PlanterCard[]; town: Town; list: ListName }) {
  const { cards, town, list } = props;
  const winter = list === "winterization";
  const early = earlyDate(town);
  const typed = town.freeze.date !== null && town.freeze.source !== "site date";
  return (
    <section class="count" aria-label={winter ? t("app.freeze.legend") : word("list", list)}>
      {winter ? (
        <div class="stack">
          <Forecast town={town} />
          {early && <Early early={early} forecast={typed} />}
        </div>
      ) : (
        <p class="head">{word("list", list)}</p>
      )}
      {winter ? <Lows nights={town.freeze.nights} /> : <span />}
      <TallyList counts={tally(cards, list)} list={list} />
    </section>
  );
}
