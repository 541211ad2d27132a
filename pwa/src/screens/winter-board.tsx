import { useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { putBackInUse } from "../actions/seasons";
import { EmptyState } from "../components/empty-state";
import { ProblemNote } from "../components/problem-note";
import { WinterTile } from "../components/winter-tile";
import type { ListCard, ListName, PlanterCard, Problem, Town } from "../domain/planter";
import { dayWords, t, tn, today, word } from "../i18n";
import { useDesk } from "./use-frame";
import { useGrowing } from "./use-growing";
import { useQuery } from "./use-query";
import { worded } from "./use-register";
import { BoardFrame, useBoard } from "./winter-board-frame";
import { Count } from "./winter-count";
import { siteFreeze } from "./winter-freeze";
import { Plugs } from "./winter-plugs";
import { bySite, isSettled, listOf, plugKept, seasonList, tally } from "./winter-tally";
import { stateWords } from "./winter-words";

/** The day the next step that waits for a day falls due. */
function dueWords(list: ListCard): string | null {
  const step = list.steps.find((one) => one.code === list.next && one.proof === "look");
  if (!step?.due) return null;
  const early = step.due > today();
  return t(early ? "app.board.due_from" : "app.board.due_since", { day: dayWords(step.due, true) });
}

function detailOf(card: PlanterCard, list: ListCard): string {
  const { place } = plugKept(card);
  const spring = list.list === "start-up";
  if (list.state === "unproven") return dueWords(list) ?? list.missing[0] ?? "";
  if (list.state === "proven" || list.state === "done") {
    return place && !spring ? t("app.planter.plug_place", { place }) : "";
  }
  const plug = spring && place ? t("app.planter.plug_place", { place }) : "";
  const index = list.steps.findIndex((step) => step.code === list.next);
  const by = [...list.steps].reverse().find((step) => step.by)?.by;
  if (list.state === "not-begun" || index < 0) return plug || t("app.board.not_begun");
  const step = t("app.board.step", { n: index + 1, of: list.of });
  return [step, dueWords(list) ?? by, plug].filter(Boolean).join(", ");
}

function SiteHead(props: { site: string; all: PlanterCard[]; town: Town; list: ListName }) {
  const { site, all, town, list } = props;
  const counts = tally(all, list);
  const left = counts.of - counts.settled;
  const freeze = siteFreeze(town, town.sites.find((one) => one.name === site)?.freeze_on ?? null);
  const by = list === "winterization" && left > 0 && freeze;
  return (
    <div>
      <h3>{site}</h3>
      <p>
        {t("app.board.site_done", {
          done: counts.settled,
          of: counts.of,
          state: word("list_state", `${list}.proven`).toLowerCase(),
        })}
        {by && (
          <>
            <br />
            {t("app.board.site_left", { left, day: dayWords(by) })}
          </>
        )}
      </p>
    </div>
  );
}

function Sites(props: { cards: PlanterCard[]; town: Town; list: ListName; open: boolean }) {
  const { cards, town, list, open } = props;
  const [drawn, end] = useGrowing<HTMLDivElement>(cards.length);
  let room = drawn;
  return (
    <div class="board">
      {bySite(cards).map(([site, all]) => {
        const wanted = open ? all.filter((card) => !isSettled(card, list)) : all;
        const shown = wanted.slice(0, Math.max(0, room));
        room -= shown.length;
        if (!shown.length) return null;
        return (
          <section key={site} class="board__site">
            <SiteHead site={site} all={all} town={town} list={list} />
            <div class="board__tiles">
              {shown.map((card) => (
                <WinterTile
                  key={card.id}
                  href={`/p/${card.id}/${list === "start-up" ? "start-up" : "winter"}`}
                  name={card.name}
                  list={listOf(card, list)}
                  level={card.state.level?.value ?? null}
                  state={stateWords(card, listOf(card, list))}
                  detail={detailOf(card, listOf(card, list))}
                />
              ))}
            </div>
          </section>
        );
      })}
      <div ref={end} />
    </div>
  );
}

/** In spring a planter that was carried in comes back: its list is under way, its status is not. */
function BackInUse({ cards }: { cards: PlanterCard[] }) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const desk = useDesk("winter");
  const fitted = cards.filter((card) => card.status === "stored" && card.state.plug.state === "in");
  if (!desk || !fitted.length) return null;
  const put = async () => {
    const answer = await putBackInUse(fitted.map((card) => card.id));
    setProblem(answer.problem ? worded(answer.problem) : null);
  };
  return (
    <div class="banner no-print">
      <p>{tn("app.board.stored_fitted", fitted.length)}</p>
      {problem && <ProblemNote problem={problem} />}
      <button type="button" class="btn" onClick={() => void put()}>
        {t("app.board.back_in_use")}
      </button>
    </div>
  );
}

type View = "steps" | "plugs";

function Acts(props: {
  list: ListName;
  open: boolean;
  view: View;
  onOpen: () => void;
  onView: (view: View) => void;
}) {
  const { list, open, view } = props;
  const left = open ? "&open=1" : "";
  return (
    <div class="board__acts">
      <button
        type="button"
        class="btn"
        aria-pressed={view === "plugs"}
        onClick={() => props.onView(view === "plugs" ? "steps" : "plugs")}
      >
        {t("app.board.plugs")}
      </button>
      <button type="button" class="btn" aria-pressed={open} onClick={props.onOpen}>
        {t("app.board.only_left")}
      </button>
      <a class="btn" href={`/winter/print?list=${list}&what=${view}${left}`}>
        {t("app.board.print")}
      </a>
      <a
        class="btn"
        href={`/api/v1/lists/${list}.csv${open ? "?open=1" : ""}`}
        download={`${list}.csv`}
      >
        {t("app.board.export")}
      </a>
    </div>
  );
}

const LISTS: ListName[] = ["winterization", "start-up"];

/** The way to the other list; when its season begins where it has not. */
function Lists({ town, list }: { town: Town; list: ListName }) {
  const one = town.checklists?.find((other) => other.list === list);
  return (
    <div class="stack stack--close no-print">
      <nav class="parts" aria-label={t("app.board.lists")}>
        {LISTS.map((name) => (
          <a
            key={name}
            class="btn"
            href={`/winter?list=${name}`}
            aria-current={name === list ? "page" : undefined}
          >
            {word("list", name)}
          </a>
        ))}
      </nav>
      {one && !one.active && (
        <p>{t("app.board.opens", { season: one.season, day: dayWords(one.begins) })}</p>
      )}
      {town.season.closed?.includes(town.season.year) && (
        <p>{t("app.board.closed", { season: town.season.year })}</p>
      )}
    </div>
  );
}

const USUAL = { show: "all", what: "steps" };

function Board({ cards, town, list }: { cards: PlanterCard[]; town: Town; list: ListName }) {
  const [asked, change] = useQuery(USUAL);
  const open = asked.show === "left";
  const view: View = asked.what === "plugs" ? "plugs" : "steps";
  const counts = tally(cards, list);
  const left = counts.of - counts.settled;
  const shown = open ? cards.filter((card) => !isSettled(card, list)) : cards;
  return (
    <>
      <Lists town={town} list={list} />
      <div class="row row--wrap">
        <h2>{tn(list === "winterization" ? "app.board.left" : "app.board.left_spring", left)}</h2>
        <Acts
          list={list}
          open={open}
          view={view}
          onOpen={() => change({ show: open ? USUAL.show : "left" })}
          onView={(what) => change({ what })}
        />
      </div>
      {list === "start-up" && <BackInUse cards={cards} />}
      {view === "plugs" ? (
        <Plugs cards={shown} />
      ) : (
        <Sites cards={cards} town={town} list={list} open={open} />
      )}
    </>
  );
}

/** Every planter's winterization, or its start-up in spring: what remains before the freeze. */
export function WinterBoardScreen() {
  const { query } = useLocation();
  const read = useBoard();
  if (!read) return <div class="desk" aria-busy="true" />;
  const { town, cards } = read;
  const list = LISTS.find((one) => one === query.list) ?? seasonList(cards);
  if (!town || !cards.length) {
    return (
      <BoardFrame list={list}>
        <EmptyState title={t("app.planters.none")}>
          <p>{t("app.planters.not_pulled")}</p>
        </EmptyState>
      </BoardFrame>
    );
  }
  return (
    <BoardFrame list={list} above={<Count cards={cards} town={town} list={list} />}>
      <Board cards={cards} town={town} list={list} />
    </BoardFrame>
  );
}
