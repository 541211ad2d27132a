import type { ComponentChildren } from "preact";
import { Caution } from "../components/caution";
import { EmptyState } from "../components/empty-state";
import { Fold } from "../components/fold";
import { FreezeOddsChart, threshold } from "../components/freeze-odds-chart";
import { Rim } from "../components/rim";
import { CHANCES, dayOfChance } from "../domain/freeze-odds";
import type { FreezeChance, FreezeOdds, FreezeRecord } from "../domain/planter";
import { dayWords, number, t, tn, when } from "../i18n";
import { readTown } from "../store/planters";
import { readSettings } from "../store/settings";
import { Desk } from "./desk";
import { BringLows } from "./freeze-dates-import";
import { useDesk, useSignal } from "./use-frame";
import { useStored } from "./use-stored";

const FREEZE_F = 32;
/** Seen days of so many seasons are shown at first. */
const SEEN_AT_FIRST = 10;

const day = (at: string | null | undefined) => (at ? dayWords(at, true) : "–");

/** Every chance in a line, every threshold in a column. */
function OddsTable(props: { caption: string; odds: FreezeChance[]; counted?: boolean }) {
  return (
    <table class="table">
      <caption class="hidden-text">{props.caption}</caption>
      <thead>
        <tr>
          <th scope="col">{t("app.freezedates.chance")}</th>
          {props.odds.map((one) => (
            <th key={one.f} scope="col" class="num">
              {threshold(one.f)}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {CHANCES.map((chance) => (
          <tr key={chance}>
            <th scope="row">{t("app.freezedates.percent", { chance })}</th>
            {props.odds.map((one) => (
              <td key={one.f} class="num">
                {day(dayOfChance(props.counted ? one.counted : one, chance))}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function End({ end, odds }: { end: "fall" | "spring"; odds: FreezeChance[] }) {
  const title = t(`app.freezedates.${end}`);
  return (
    <section class="stack">
      <h2>{title}</h2>
      <p>{t(`app.freezedates.${end}_says`)}</p>
      <FreezeOddsChart odds={odds} />
      <Fold summary={t("app.freezedates.all_chances")}>
        <OddsTable caption={title} odds={odds} />
      </Fold>
      <Fold summary={t("app.freezedates.counted")}>
        <p>{t("app.freezedates.counted_says")}</p>
        <OddsTable caption={`${title}, ${t("app.freezedates.counted")}`} odds={odds} counted />
      </Fold>
      <ul class="stack stack--close">
        {odds
          .filter((one) => one.share < 1)
          .map((one) => (
            <li key={one.f}>
              {t("app.freezedates.share", {
                low: threshold(one.f),
                came: number(Math.round(one.share * one.years)),
                years: number(one.years),
              })}
            </li>
          ))}
      </ul>
    </section>
  );
}

/** The two days that matter, in words and large. */
function Lead({ odds }: { odds: FreezeOdds }) {
  const freeze = odds.fall.find((one) => one.f === FREEZE_F);
  if (!freeze?.p10) return <p class="lead">{t("app.freezedates.seldom")}</p>;
  return (
    <p class="lead">
      {t("app.freezedates.lead", {
        low: threshold(FREEZE_F),
        p10: dayWords(freeze.p10),
        p50: freeze.p50 ? dayWords(freeze.p50) : "–",
      })}
    </p>
  );
}

function About({ odds, record }: { odds: FreezeOdds | null; record: FreezeRecord }) {
  const by = record.brought_by;
  return (
    <section class="stack">
      <h2>{t("app.freezedates.about")}</h2>
      <p>
        {[
          record.station ?? "",
          t("app.freezedates.span", { from: record.from.slice(0, 4), to: record.to.slice(0, 4) }),
          tn("app.freezedates.missing", record.missing),
        ]
          .filter(Boolean)
          .join(", ")}
        .
      </p>
      {record.brought_at && (
        <p class="small soft">
          {by
            ? t("app.freezedates.brought", { by, when: when(record.brought_at) })
            : t("app.freezedates.brought_when", { when: when(record.brought_at) })}
        </p>
      )}
      {odds && <p>{t("app.freezedates.method")}</p>}
      {record.southern && <p>{t("app.freezedates.southern")}</p>}
      {record.skipped.length > 0 && (
        <>
          <h3>{t("app.freezedates.skipped")}</h3>
          <ul class="stack stack--close">
            {record.skipped.map((one) => (
              <li key={`${one.year} ${one.what}`}>
                <b>{t(`app.freezedates.skipped_${one.what}`, { year: one.year })}</b> {one.why}
              </li>
            ))}
          </ul>
        </>
      )}
      <Fold summary={t("app.freezedates.seen")}>
        <Seen record={record} />
      </Fold>
    </section>
  );
}

/** First and last freeze of each season, the newest first. */
function Seen({ record }: { record: FreezeRecord }) {
  const seasons = [...record.observed].reverse();
  const table = (rows: typeof seasons) => (
    <table class="table">
      <thead>
        <tr>
          <th scope="col">{t("app.freezedates.season")}</th>
          <th scope="col" class="num">
            {t("app.freezedates.first", { low: threshold(FREEZE_F) })}
          </th>
          <th scope="col" class="num">
            {t("app.freezedates.last", { low: threshold(FREEZE_F) })}
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((one) => (
          <tr key={one.year}>
            <th scope="row">
              {t("app.freezedates.from_year", { from: one.year, to: one.year + 1 })}
            </th>
            <td class="num">{day(one.fall[1])}</td>
            <td class="num">{day(one.spring[1])}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
  const more = seasons.slice(SEEN_AT_FIRST);
  return (
    <>
      {table(seasons.slice(0, SEEN_AT_FIRST))}
      {more.length > 0 && <Fold summary={t("app.freezedates.earlier")}>{table(more)}</Fold>}
    </>
  );
}

/** The desk's frame for a coordinator, the phone's rim with a way back for a volunteer. */
function Frame({ desk, children }: { desk: boolean; children: ComponentChildren }) {
  const signal = useSignal();
  const title = t("app.freezedates.title");
  if (desk) {
    return (
      <Desk current="freeze" title={title}>
        {children}
      </Desk>
    );
  }
  return (
    <div class="desk">
      <Rim title={title} back="/winter">
        {signal}
      </Rim>
      <main>
        <div class="stack stack--wide">{children}</div>
      </main>
    </div>
  );
}

/** The site's own freeze dates, as last synced; a coordinator brings the record they rest on. */
export function FreezeDatesScreen() {
  const desk = useDesk("winter") !== null;
  const town = useStored(["town", "settings"], async () => {
    const [found] = await Promise.all([readTown(), readSettings()]);
    return found ?? null;
  });
  if (town === undefined) return <div class="desk" aria-busy="true" />;
  const record = town?.freeze_record ?? null;
  const odds = town?.freeze_odds ?? null;
  return (
    <Frame desk={desk}>
      {!record && (
        <EmptyState title={t("app.freezedates.none")}>
          <p>{t(desk ? "app.freezedates.none_bring" : "app.freezedates.none_ask")}</p>
        </EmptyState>
      )}
      {odds && <Lead odds={odds} />}
      {record?.too_few && <Caution>{record.too_few}</Caution>}
      {odds && (
        <div class="ends">
          <End end="fall" odds={odds.fall} />
          <End end="spring" odds={odds.spring} />
        </div>
      )}
      {record && <About odds={odds} record={record} />}
      {desk && <BringLows known={record !== null} />}
    </Frame>
  );
}
