import { useEffect, useMemo, useState } from "preact/hooks";
import { markLooked, renewReview } from "../actions/review";
import { EmptyState } from "../components/empty-state";
import type { OutboxEntry } from "../domain/outbox";
import { overlay } from "../domain/pending";
import { caseKey, casesOf, type ReviewCase, reviewOf } from "../domain/review";
import { lookNow, sinceLooked } from "../domain/since";
import { now, t, tn } from "../i18n";
import { listOutbox } from "../store/outbox";
import { countPlanters, listNeeding, listRounds, readPlanters, readTown } from "../store/planters";
import { readReview } from "../store/review";
import { readSettings } from "../store/settings";
import { Desk } from "./desk";
import { BulkKerb, type Done, UndoKerb } from "./review-bulk";
import { ActSection } from "./review-groups";
import { HeldRecords } from "./review-held";
import { CaseList, type Lines } from "./review-line";
import { NewPlantings, newPlantings } from "./review-new";
import { NextRound } from "./review-next";
import { PhonesToAsk } from "./review-phones";
import { SinceLooked } from "./review-since";
import { useStored } from "./use-stored";

async function read() {
  const [cards, count, entries, town, settings, rounds, kept] = await Promise.all([
    listNeeding(),
    countPlanters(),
    listOutbox(),
    readTown(),
    readSettings(),
    listRounds(),
    readReview(),
  ]);
  const mine = new Map<string, OutboxEntry[]>();
  for (const entry of entries) mine.set(entry.planter, [...(mine.get(entry.planter) ?? []), entry]);
  const views = cards.map((card) =>
    overlay(card, mine.get(card.id) ?? [], settings.clock_offset_ms),
  );
  const unsent = new Set(
    views.flatMap((view) =>
      view.waiting
        .filter((entry) => entry.kind === "decision")
        .map((entry) => caseKey(view.card.id, (entry.body as { flag: string }).flag)),
    ),
  );
  const shown = views.map((view) => view.card);
  const here = new Set(shown.map((card) => card.id));
  const gone = new Set(kept.looked?.seen.map((one) => one.planter).filter((id) => !here.has(id)));
  const quiet = await readPlanters([...gone]);
  return {
    cards: shown,
    count,
    review: reviewOf(shown),
    since: sinceLooked([...shown, ...quiet], kept.looked, settings.me?.person.name ?? ""),
    unsent,
    fresh: newPlantings(shown),
    people: town?.people ?? [],
    rounds,
    desk: kept.desk,
  };
}

const NOTHING: ReadonlySet<string> = new Set();

/** What is chosen, what is open, what was just decided. */
function useChoice() {
  const [chosen, setChosen] = useState(NOTHING);
  const [open, setOpen] = useState<string | null>(null);
  const [done, setDone] = useState<Done | null>(null);
  const choose = (keys: readonly string[], wanted: boolean) => {
    setChosen((before) => {
      const next = new Set(before);
      for (const key of keys) {
        if (wanted) next.add(key);
        else next.delete(key);
      }
      return next;
    });
    setDone(null);
  };
  const finish = (what: Done | null) => {
    setChosen(NOTHING);
    setOpen(null);
    setDone(what);
  };
  return { chosen, choose, open, setOpen, done, finish };
}

type Seen = Awaited<ReturnType<typeof read>>;

/** What waits for a decision, the most pressing first; held records and phones before "this week". */
function ToDecide({ seen, lines }: { seen: Seen; lines: Lines }) {
  const { groups } = seen.review;
  const pressing = groups.filter((group) => group.urgency === "today");
  const rest = groups.filter((group) => group.urgency !== "today");
  return (
    <>
      {pressing.map((group) => (
        <ActSection key={group.act} group={group} lines={lines} />
      ))}
      <HeldRecords held={seen.desk.held} />
      <PhonesToAsk phones={seen.desk.phones} />
      {rest.map((group) => (
        <ActSection key={group.act} group={group} lines={lines} />
      ))}
    </>
  );
}

function Folded(props: { words: string; cases: ReviewCase[]; lines: Lines }) {
  if (!props.cases.length) return null;
  return (
    <details class="fold">
      <summary>{props.words}</summary>
      <CaseList cases={props.cases} lines={props.lines} />
    </details>
  );
}

/** The coordinator's review: what must be done and where, what changed, what only a person knows. */
export function ReviewScreen() {
  const seen = useStored(["planters", "outbox", "town", "rounds", "settings"], read);
  const choice = useChoice();
  useEffect(() => {
    void renewReview();
  }, []);
  const all = useMemo(() => {
    const review = seen?.review;
    return review ? [...review.groups.flatMap(casesOf), ...review.inHand, ...review.quiet] : [];
  }, [seen]);
  if (!seen) return <Desk current="review" title={t("app.review.title")} />;
  const { review, people, rounds } = seen;
  const lines: Lines = {
    people,
    rounds,
    unsent: seen.unsent,
    news: seen.since?.news ?? new Map(),
    chosen: choice.chosen,
    onChoose: choice.choose,
    open: choice.open,
    onOpen: choice.setOpen,
  };
  const chosen = all.filter((one) => choice.chosen.has(one.key));
  const flagged = new Set(all.filter((one) => !one.flag.quiet).map((one) => one.planter.id)).size;
  const asked = review.groups.length + seen.desk.held.length + seen.desk.phones.length;
  return (
    <Desk
      current="review"
      title={t("app.review.title")}
      aside={<NextRound rounds={rounds} inHand={review.inHand} />}
      kerb={
        chosen.length > 0 ? (
          <BulkKerb
            cases={chosen}
            people={people}
            rounds={rounds}
            onDone={choice.finish}
            onClear={() => choice.finish(null)}
          />
        ) : (
          choice.done && (
            <UndoKerb
              done={choice.done}
              onClose={(words) => choice.finish(words ? { words, entries: [] } : null)}
            />
          )
        )
      }
    >
      <SinceLooked
        since={seen.since}
        onLooked={() => void markLooked(lookNow(seen.cards), now().toISOString())}
      />
      <ToDecide seen={seen} lines={lines} />
      <NewPlantings cards={seen.fresh} />
      {asked === 0 && (
        <EmptyState title={t("app.review.nothing")}>
          <p>{t("app.review.nothing_more")}</p>
        </EmptyState>
      )}
      <Folded
        words={tn("app.review.in_hand", review.inHand.length)}
        cases={review.inHand}
        lines={lines}
      />
      <Folded
        words={tn("app.review.quiet", review.quiet.length)}
        cases={review.quiet}
        lines={lines}
      />
      <p class="soft">{tn("app.review.rest", seen.count - flagged)}</p>
    </Desk>
  );
}
