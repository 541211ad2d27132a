import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { EmptyState } from "../components/empty-state";
import { Rim } from "../components/rim";
import { WinterTile } from "../components/winter-tile";
import { overlay } from "../domain/pending";
import type { ListCard, ListName, Night, PlanterCard, Town } from "../domain/planter";
import { daysBetween } from "../domain/time";
import { dayWords, t, temperature, tn, today, word } from "../i18n";
import { listOutbox } from "../store/outbox";
import { listPlanters, readTown } from "../store/planters";
import { readSettings } from "../store/settings";
import { Desk } from "./desk";
import { useDesk, useSignal } from "./use-frame";
import { useStored } from "./use-stored";
import { boardCsv, listOf, plugPlace, seasonList, type Tally, tally } from "./winter-tally";

async function readBoard() {
  const [cards, outbox, settings, town] = await Promise.all([
    listPlanters(),
    listOutbox(),
    readSettings(),
    readTown(),
  ]);
  const unsent = new Set(outbox.map((entry) => entry.planter));
  return {
    town,
    cards: cards
      .filter((card) => card.status === "in-use" || card.status === "stored")
      .map((card) =>
        unsent.has(card.id) ? overlay(card, outbox, settings.clock_offset_ms).card : card,
      ),
  };
}

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

function Nights({ town }: { town: Town }) {
  const { date } = town.freeze;
  const nights = date ? daysBetween(today(), date) : null;
  const low = town.freeze.nights.find((night) => night.date === date)?.low_c;
  const head =
    nights === null
      ? t("app.freeze.unknown")
      : nights < 0
        ? t("app.freeze.came")
        : tn("app.board.nights", nights);
  return (
    <div class="row">
      {nights !== null && nights >= 0 && <span class="huge num">{nights}</span>}
      <div>
        <p class="head">{head}</p>
        {date && (
          <p>
            {t("app.freeze.night_to", { day: dayWords(date) })}
            {low !== undefined && `, ${temperature(low)}`}
          </p>
        )}
      </div>
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

/** "Plug in" only where somebody saw it in: a missing plug holds no water either. */
function stateOf(card: PlanterCard, list: ListCard): string {
  const plug = card.state.plug.state;
  if (list.list === "winterization" && list.state === "not-begun" && plug !== "in") {
    return t(plug === "missing" ? "app.board.plug_missing" : "app.board.plug_unseen");
  }
  return word("list_state", `${list.list}.${list.state}`);
}

function detailOf(card: PlanterCard, list: ListCard): string {
  const place = plugPlace(card, list);
  if (list.state === "unproven") return list.missing[0] ?? "";
  if (list.state === "proven" || list.state === "done") {
    return place ? t("app.planter.plug_place", { place }) : "";
  }
  const index = list.steps.findIndex((step) => step.code === list.next);
  const by = [...list.steps].reverse().find((step) => step.by)?.by;
  if (list.state === "not-begun" || index < 0) return t("app.board.not_begun");
  return [t("app.board.step", { n: index + 1, of: list.of }), by].filter(Boolean).join(", ");
}

function Sites({ cards, list, open }: { cards: PlanterCard[]; list: ListName; open: boolean }) {
  const sites = new Map<string, PlanterCard[]>();
  for (const card of cards) {
    sites.set(card.site.name, [...(sites.get(card.site.name) ?? []), card]);
  }
  return (
    <div class="board">
      {[...sites].map(([site, all]) => {
        const counts = tally(all, list);
        const shown = open ? all.filter((card) => !isSettled(card, list)) : all;
        if (!shown.length) return null;
        return (
          <section key={site} class="board__site">
            <div>
              <h3>{site}</h3>
              <p>
                {t("app.board.site_done", {
                  done: counts.settled,
                  of: counts.of,
                  state: word("list_state", `${list}.proven`).toLowerCase(),
                })}
              </p>
            </div>
            <div class="board__tiles">
              {shown.map((card) => (
                <WinterTile
                  key={card.id}
                  href={`/p/${card.id}/${list === "start-up" ? "start-up" : "winter"}`}
                  name={card.name}
                  list={listOf(card, list)}
                  level={card.state.level?.value ?? null}
                  state={stateOf(card, listOf(card, list))}
                  detail={detailOf(card, listOf(card, list))}
                />
              ))}
            </div>
          </section>
        );
      })}
    </div>
  );
}

function isSettled(card: PlanterCard, list: ListName): boolean {
  const { state } = listOf(card, list);
  return state === "proven" || state === "done";
}

/** Hands the board over as a CSV file made on this phone. */
function exportCsv(cards: PlanterCard[], list: ListName, season: number): void {
  const file = new Blob([boardCsv(cards, list)], { type: "text/csv;charset=utf-8" });
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = `${list}-${season}.csv`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

function Board({ cards, town, list }: { cards: PlanterCard[]; town: Town; list: ListName }) {
  const [open, setOpen] = useState(false);
  const counts = tally(cards, list);
  const left = counts.of - counts.settled;
  return (
    <>
      <div class="row row--wrap">
        <h2>{tn(list === "winterization" ? "app.board.left" : "app.board.left_spring", left)}</h2>
        <div class="board__acts">
          <button type="button" class="btn" aria-pressed={open} onClick={() => setOpen(!open)}>
            {t("app.board.only_left")}
          </button>
          <button type="button" class="btn" onClick={() => window.print()}>
            {t("app.board.print")}
          </button>
          <button
            type="button"
            class="btn"
            onClick={() => exportCsv(cards, list, town.season.year)}
          >
            {t("app.board.export")}
          </button>
        </div>
      </div>
      <Sites cards={cards} list={list} open={open} />
    </>
  );
}

function Count({ cards, town, list }: { cards: PlanterCard[]; town: Town; list: ListName }) {
  const winter = list === "winterization";
  return (
    <section class="count" aria-label={winter ? t("app.freeze.legend") : word("list", list)}>
      {winter ? <Nights town={town} /> : <p class="head">{word("list", list)}</p>}
      {winter ? <Lows nights={town.freeze.nights} /> : <span />}
      <TallyList counts={tally(cards, list)} list={list} />
    </section>
  );
}

/** The desk's frame for a coordinator, the phone's rim with a way back for a volunteer. */
function Frame(props: { list: ListName; above?: ComponentChildren; children: ComponentChildren }) {
  const desk = useDesk("winter");
  const signal = useSignal();
  const title = word("list", props.list);
  if (desk) {
    return (
      <Desk current="winter" title={title} above={props.above}>
        {props.children}
      </Desk>
    );
  }
  return (
    <div class="desk">
      <div>
        <Rim title={title} back="/planters">
          {signal}
        </Rim>
        {props.above}
      </div>
      <main>
        <div class="stack stack--wide">{props.children}</div>
      </main>
    </div>
  );
}

/** Every planter's winterization, or its start-up in spring: what remains before the freeze. */
export function WinterBoardScreen() {
  const read = useStored(["planters", "outbox", "town", "settings"], readBoard);
  if (!read) return <div class="desk" aria-busy="true" />;
  const { town, cards } = read;
  const list = seasonList(cards);
  if (!town || !cards.length) {
    return (
      <Frame list={list}>
        <EmptyState title={t("app.planters.none")}>
          <p>{t("app.planters.not_pulled")}</p>
        </EmptyState>
      </Frame>
    );
  }
  return (
    <Frame list={list} above={<Count cards={cards} town={town} list={list} />}>
      <Board cards={cards} town={town} list={list} />
    </Frame>
  );
}
