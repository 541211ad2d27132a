import { useState } from "preact/hooks";
import { saveWithdrawal } from "../actions/save";
import { Facts } from "../components/facts";
import { Potlet, type PotletKind } from "../components/potlet";
import { StateMark } from "../components/state-mark";
import { VisitLine } from "../components/visit-line";
import { plantsWords } from "../components/wording-care";
import type { OutboxEntry } from "../domain/outbox";
import type { PlanterView } from "../domain/pending";
import type { ListCard, Me, PlanterCard, Town, Visit } from "../domain/planter";
import { dayWords, t, weight, when, word } from "../i18n";
import { PhotoErase } from "./photo-erase";
import { PhotoThumb } from "./photo-thumb";
import { CareSaid } from "./planter-care";
import { PlanterHistory } from "./planter-history";
import { WaterChart } from "./planter-water";

interface PastProps {
  view: PlanterView;
  me: Me | null;
  town: Town | undefined;
}

function plugWords(card: PlanterCard): string {
  const { state, at, by, place } = card.state.plug;
  const parts = [word("plug", state)];
  if (place) parts.push(t("app.planter.plug_place", { place }));
  if (at) parts.push(t("app.planter.seen", { when: when(at) }));
  if (by) parts.push(by);
  return parts.join(", ");
}

function KnownFacts({ card }: { card: PlanterCard }) {
  const { last_visit, last_full, last_fed, plants } = card.state;
  const by = (mark: { at: string; by: string }) => `${when(mark.at)}, ${mark.by}`;
  const grown = card.planting;
  return (
    <Facts
      facts={[
        [t("app.planter.last_visit"), last_visit ? by(last_visit) : t("app.planter.never")],
        [
          t("app.planter.plants"),
          plants && `${plants.score}, ${word("plants", String(plants.score))}, ${by(plants)}`,
        ],
        [t("app.planter.plug"), plugWords(card)],
        [t("app.planter.last_full"), last_full && by(last_full)],
        [
          t("app.planter.last_fed"),
          last_fed && [by(last_fed), last_fed.what].filter(Boolean).join(", "),
        ],
        [
          t("app.planter.planting"),
          grown &&
            [
              plantsWords(grown),
              grown.scheme,
              grown.planted_on && dayWords(grown.planted_on, true),
              grown.by,
            ]
              .filter(Boolean)
              .join(", "),
        ],
        [t("app.planter.weight_full"), card.weight_full_kg !== null && weight(card.weight_full_kg)],
        [t("app.planter.notes"), card.notes],
      ]}
    />
  );
}

const LIST_KIND: Record<ListCard["state"], PotletKind> = {
  "not-begun": "level",
  "under-way": "draining",
  unproven: "unproven",
  proven: "proven",
  done: "proven",
};

function listWords(list: ListCard): string {
  const next = list.steps.find((step) => step.code === list.next);
  if (list.state === "unproven" && list.missing.length) return list.missing.join("; ");
  if (!next) return t("app.winter.done_of", { done: list.done, of: list.of });
  const n = list.steps.indexOf(next) + 1;
  return t("app.planter.step_of", { n, of: list.of, step: next.title });
}

/** The lists in season or left unfinished; each opens its steps. */
function OpenLists({ card }: { card: PlanterCard }) {
  const lists = [card.lists.winterization, card.lists.start_up].filter(
    (list) => list.active || list.state === "under-way" || list.state === "unproven",
  );
  if (!lists.length) return null;
  return (
    <section class="stack">
      <h2>{t("app.planter.lists")}</h2>
      {lists.map((list) => (
        <a
          key={list.list}
          class="list-link"
          href={`/p/${card.id}/${list.list === "start-up" ? "start-up" : "winter"}`}
        >
          <Potlet kind={LIST_KIND[list.state]} level={card.state.level?.value ?? 0.5} />
          <span>
            <b>{word("list", list.list)}</b>
            <br />
            <span class="small">{listWords(list)}</span>
          </span>
          <b class="small">{word("list_state", `${list.list}.${list.state}`)}</b>
        </a>
      ))}
    </section>
  );
}

/** Correct and Take back, for one's own check-ins. Taking back asks once, on the spot. */
function OwnActs({ card, visit }: { card: PlanterCard; visit: Visit }) {
  const [asked, setAsked] = useState(false);
  const [trouble, setTrouble] = useState(false);
  if (asked) {
    return (
      <div class="ask" role="alertdialog" aria-label={t("app.planter.take_back")}>
        <p>
          {t(visit.kind === "planting" ? "app.planted.take_back_ask" : "app.planter.take_back_ask")}
        </p>
        {trouble && <p role="alert">{t("app.check_in.not_kept")}</p>}
        <div class="visit__acts">
          <button
            type="button"
            class="btn"
            onClick={() => void saveWithdrawal(card.id, visit.record).catch(() => setTrouble(true))}
          >
            {t("app.planter.take_back_yes")}
          </button>
          <button type="button" class="btn" onClick={() => setAsked(false)}>
            {t("app.planter.take_back_no")}
          </button>
        </div>
      </div>
    );
  }
  return (
    <div class="visit__acts">
      {visit.kind === "check-in" && (
        <a class="btn" href={`/p/${card.id}/check-in?correct=${visit.record}`}>
          {t("app.planter.correct")}
        </a>
      )}
      <button type="button" class="btn" onClick={() => setAsked(true)}>
        {t("app.planter.take_back")}
      </button>
    </div>
  );
}

function Pictures({ visit, mayErase }: { visit: Visit; mayErase: boolean }) {
  if (!visit.photos.length) return null;
  return (
    <div class="thumbs">
      {visit.photos.map((sha) => (
        <div key={sha} class="stack stack--close">
          <PhotoThumb
            sha={sha}
            alt={t("app.planter.photo_of", { when: when(visit.at), by: visit.by })}
            onItsWay={visit.photo_state[sha] === "on-its-way"}
          />
          {mayErase && <PhotoErase sha={sha} />}
        </div>
      ))}
    </div>
  );
}

function OneVisit(props: {
  card: PlanterCard;
  visit: Visit;
  entry: OutboxEntry | undefined;
  mine: boolean;
  coordinates: boolean;
}) {
  const { card, visit, entry, mine, coordinates } = props;
  const refused = entry?.state === "needs-attention";
  return (
    <VisitLine visit={visit} unsent={entry !== undefined && entry.state !== "sent"}>
      {refused && (
        <a class="btn" href="/outbox">
          <StateMark state="need" />
        </a>
      )}
      <Pictures visit={visit} mayErase={mine || coordinates} />
      {mine && !refused && (visit.kind === "check-in" || visit.kind === "planting") && (
        <OwnActs card={card} visit={visit} />
      )}
    </VisitLine>
  );
}

/** What is known and what was done, newest first. */
export function PlanterPast({ view, me, town }: PastProps) {
  const { card, waiting } = view;
  return (
    <div class="record__past stack stack--wide">
      <WaterChart card={card} />
      <OpenLists card={card} />
      <KnownFacts card={card} />
      <CareSaid view={view} town={town} />
      <section class="stack">
        <h2>{t("app.planter.visits")}</h2>
        {card.visits.length ? (
          <ul class="visits">
            {card.visits.map((visit) => (
              <OneVisit
                key={visit.record}
                card={card}
                visit={visit}
                entry={waiting.find((entry) => entry.id === visit.record)}
                mine={me !== null && visit.person === me.person.id}
                coordinates={me?.person.role === "coordinator"}
              />
            ))}
          </ul>
        ) : (
          <p>{t("app.planter.no_visits")}</p>
        )}
        {me?.person.role === "coordinator" && (
          <p>
            <a class="btn" href={`/p/${card.id}/history`}>
              {t("app.course.open")}
            </a>
          </p>
        )}
      </section>
      <PlanterHistory card={card} />
    </div>
  );
}
