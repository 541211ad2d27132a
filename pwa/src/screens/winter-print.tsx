import { useLocation } from "preact-iso";
import type { ListCard, ListName, ListStep, PlanterCard, Town } from "../domain/planter";
import { dayOf, dayWords, t, tn, today, word } from "../i18n";
import { BoardFrame, useBoard } from "./winter-board-frame";
import { earlyDate } from "./winter-freeze";
import { Plugs } from "./winter-plugs";
import { bySite, isSettled, listOf, plugKept, seasonList, tally } from "./winter-tally";
import { stateWords } from "./winter-words";

const SIGN: Record<ListStep["state"], string> = {
  todo: "☐",
  done: "✓",
  unproven: "?",
  "not-needed": "–",
};

/** A step's sign, and who did it when. */
function StepCell({ step, n }: { step: ListStep | undefined; n: number }) {
  if (!step) return <td class="sheet__none" />;
  const said = [step.by, step.at ? dayWords(dayOf(step.at), true) : ""].filter(Boolean).join(" ");
  return (
    <td>
      <span class="sheet__n num" aria-hidden="true">
        {n}
      </span>
      <b aria-hidden="true">{SIGN[step.state]}</b>
      <span class="hidden-text">{word("step_state", step.state)}</span>
      {said && (
        <>
          <br />
          <span class="sheet__by">{said}</span>
        </>
      )}
    </td>
  );
}

/** The steps as columns: the list as it stands, then what is only on record. */
function columns(town: Town, cards: PlanterCard[], list: ListName): [string, string][] {
  const found = new Map<string, string>();
  for (const step of town.checklists?.find((one) => one.list === list)?.steps ?? [])
    found.set(step.code, step.title);
  for (const card of cards)
    for (const step of listOf(card, list).steps)
      if (!found.has(step.code)) found.set(step.code, step.title);
  return [...found];
}

function Row({ card, list, codes }: { card: PlanterCard; list: ListCard; codes: string[] }) {
  const steps = new Map(list.steps.map((step) => [step.code, step]));
  return (
    <tr>
      <th scope="row">{card.name}</th>
      <td>
        <b>{stateWords(card, list)}</b>
      </td>
      {codes.map((code, index) => (
        <StepCell key={code} step={steps.get(code)} n={index + 1} />
      ))}
      <td>{plugKept(card).place ?? word("plug", card.state.plug.state)}</td>
      <td class="sheet__missing">{list.missing.join("; ")}</td>
    </tr>
  );
}

function Sheet({ cards, town, list }: { cards: PlanterCard[]; town: Town; list: ListName }) {
  const steps = columns(town, cards, list);
  const codes = steps.map(([code]) => code);
  return (
    <>
      {bySite(cards).map(([site, all]) => (
        <div key={site} class="sheet__site">
          <h2>{site}</h2>
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a wide table is scrolled by keys */}
          <section class="scroll" tabIndex={0} aria-label={site}>
            <table class="table table--rows sheet">
              <thead>
                <tr>
                  <th scope="col">{t("app.plugs.planter")}</th>
                  <th scope="col">{t("app.sheet.state")}</th>
                  {steps.map(([code, title], index) => (
                    <th key={code} scope="col">
                      {index + 1}
                      <span class="hidden-text"> {title}</span>
                    </th>
                  ))}
                  <th scope="col">{t("app.plugs.plug")}</th>
                  <th scope="col">{t("app.sheet.missing")}</th>
                </tr>
              </thead>
              <tbody>
                {all.map((card) => (
                  <Row key={card.id} card={card} list={listOf(card, list)} codes={codes} />
                ))}
              </tbody>
            </table>
          </section>
        </div>
      ))}
      <section>
        <h2>{t("app.sheet.steps")}</h2>
        <ol class="sheet__legend">
          {steps.map(([code, title]) => (
            <li key={code}>{title}</li>
          ))}
        </ol>
        <p>{t("app.sheet.signs")}</p>
      </section>
    </>
  );
}

function Head({ cards, town, list }: { cards: PlanterCard[]; town: Town; list: ListName }) {
  const counts = tally(cards, list);
  const early = list === "winterization" ? earlyDate(town) : null;
  const season = listOf(cards[0] as PlanterCard, list).season;
  return (
    <section class="stack stack--close">
      <p class="head">
        {t("app.sheet.head", { list: word("list", list), season, town: town.name })}
      </p>
      <p>
        {t("app.sheet.on", { day: dayWords(today()) })}{" "}
        {tn(
          list === "winterization" ? "app.board.left" : "app.board.left_spring",
          counts.of - counts.settled,
        )}
        {early &&
          `. ${t(early.odds ? "app.sheet.odds_by" : "app.sheet.freeze_by", { day: dayWords(early.date) })}`}
      </p>
    </section>
  );
}

/** The list of every planter, or of the plugs, laid out for paper. Drawn from the phone's store. */
export function WinterPrintScreen() {
  const { query } = useLocation();
  const read = useBoard();
  if (!read?.town || !read.cards.length) return <div class="desk" aria-busy="true" />;
  const { town, cards } = read;
  const list = query.list === "start-up" || query.list === "winterization" ? query.list : null;
  const name: ListName = list ?? seasonList(cards);
  const shown = query.open ? cards.filter((card) => !isSettled(card, name)) : cards;
  return (
    <BoardFrame list={name}>
      <div class="row row--wrap no-print">
        <a class="btn" href={`/winter?list=${name}`}>
          {t("app.sheet.back")}
        </a>
        <button type="button" class="act" onClick={() => window.print()}>
          {t("app.board.print")}
        </button>
      </div>
      <Head cards={cards} town={town} list={name} />
      {query.what === "plugs" ? (
        <Plugs cards={shown} />
      ) : (
        <Sheet cards={shown} town={town} list={name} />
      )}
    </BoardFrame>
  );
}
