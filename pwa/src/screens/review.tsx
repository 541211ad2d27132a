import { useState } from "preact/hooks";
import { EmptyState } from "../components/empty-state";
import { overlay } from "../domain/pending";
import type { Person } from "../domain/planter";
import { type ReviewCase, reviewOf } from "../domain/review";
import { t, tn, word } from "../i18n";
import { listOutbox } from "../store/outbox";
import { listPlanters, readTown } from "../store/planters";
import { readSettings } from "../store/settings";
import { Desk } from "./desk";
import { CaseLine } from "./review-case";
import { HeldRecords } from "./review-held";
import { NewPlantings, newPlantings } from "./review-new";
import { useStored } from "./use-stored";

async function read() {
  const [cards, entries, town, settings] = await Promise.all([
    listPlanters(),
    listOutbox(),
    readTown(),
    readSettings(),
  ]);
  const views = cards.map((card) => overlay(card, entries, settings.clock_offset_ms));
  const unsent = new Set(
    views.flatMap((view) =>
      view.waiting
        .filter((entry) => entry.kind === "decision")
        .map((entry) => `${view.card.id} ${(entry.body as { flag: string }).flag}`),
    ),
  );
  const review = reviewOf(views.map((view) => view.card));
  const fresh = newPlantings(views.map((view) => view.card));
  return { review, unsent, fresh, people: town?.people ?? [], planters: cards.length };
}

interface CasesProps {
  cases: ReviewCase[];
  people: Person[];
  unsent: Set<string>;
  /** The one case that is open. */
  open: string | null;
  onOpen: (key: string | null) => void;
}

function Cases({ cases, people, unsent, open, onOpen }: CasesProps) {
  return (
    <ul>
      {cases.map((one) => (
        <CaseLine
          key={one.key}
          one={one}
          people={people}
          unsent={unsent.has(one.key)}
          open={one.key === open}
          onOpen={(wanted) => onOpen(wanted ? one.key : null)}
        />
      ))}
    </ul>
  );
}

/** The coordinator's review: flagged planters by urgency, each with its evidence and a decision. */
export function ReviewScreen() {
  const seen = useStored(["planters", "outbox", "town", "settings"], read);
  const [open, setOpen] = useState<string | null>(null);
  if (!seen) return <Desk current="review" title={t("app.review.title")} />;
  const { review, unsent, people } = seen;
  const shared = { people, unsent, open, onOpen: setOpen };
  const flagged = new Set(
    review.groups.flatMap((group) => group.cases.map((one) => one.planter.id)),
  ).size;
  return (
    <Desk current="review" title={t("app.review.title")}>
      <HeldRecords />
      {review.groups.map((group) => (
        <section key={group.urgency} class="group">
          <div class="group__head">
            <h2>{word("urgency", group.urgency)}</h2>
            <span>{tn("app.review.planters", group.planters)}</span>
          </div>
          <Cases cases={group.cases} {...shared} />
        </section>
      ))}
      <NewPlantings cards={seen.fresh} />
      {review.groups.length === 0 && (
        <EmptyState title={t("app.review.nothing")}>
          <p>{t("app.review.nothing_more")}</p>
        </EmptyState>
      )}
      <p class="soft">{tn("app.review.rest", seen.planters - flagged)}</p>
      {review.quiet.length > 0 && (
        <details class="fold">
          <summary>{tn("app.review.quiet", review.quiet.length)}</summary>
          <Cases cases={review.quiet} {...shared} />
        </details>
      )}
    </Desk>
  );
}
