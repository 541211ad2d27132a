import { useState } from "preact/hooks";
import { settleHeld } from "../actions/held";
import { renewReview } from "../actions/review";
import { Field } from "../components/field";
import { Options } from "../components/options";
import { ProblemNote } from "../components/problem-note";
import { Stake } from "../components/stake";
import type { HeldItem, PlanterCard, Problem } from "../domain/planter";
import { t, tn, when, word } from "../i18n";
import { listPlanters } from "../store/planters";
import { heldWords } from "./held-words";
import { worded } from "./use-register";
import { useStored } from "./use-stored";

function Held(props: {
  item: HeldItem;
  planters: PlanterCard[];
  onSettle: (take: boolean, planter?: string) => void;
}) {
  const { item, planters, onSettle } = props;
  const needsPlanter = item.reason === "unknown-planter" || item.reason === "other-planter";
  const [chosen, setChosen] = useState("");
  const planter = chosen || planters.find((card) => card.id === item.planter)?.id || "";
  return (
    <li class="case">
      <span class="stake stake--watch">{t("app.held.held")}</span>
      <div class="stack stack--close">
        <p>
          <b>{`${word("held_reason", item.reason)}.`}</b>{" "}
          {`${item.by ?? t("app.held.somebody")}, ${when(item.at)}`}
        </p>
        {heldWords(item, planters).map((line) => (
          <p key={line} class="held__text">
            {line}
          </p>
        ))}
        {needsPlanter && (
          <Field label={t("app.held.which")}>
            <select value={planter} onChange={(e) => setChosen(e.currentTarget.value)}>
              <option value="">{t("app.held.choose")}</option>
              <Options of={planters} />
            </select>
          </Field>
        )}
      </div>
      <div class="kerb__pair">
        <button
          type="button"
          class="btn"
          disabled={needsPlanter && !planter}
          onClick={() => onSettle(true, needsPlanter ? planter : undefined)}
        >
          {t("app.held.take")}
        </button>
        <button type="button" class="btn" onClick={() => onSettle(false)}>
          {t("app.held.leave")}
        </button>
      </div>
    </li>
  );
}

/** Records the server kept but could not place: a person says what becomes of each. */
export function HeldRecords({ held }: { held: HeldItem[] }) {
  const wanted = held.length > 0;
  const planters =
    useStored(["planters"], async () => (wanted ? listPlanters() : []), [wanted]) ?? [];
  const [problem, setProblem] = useState<Problem | null>(null);
  const settle = async (id: string, take: boolean, planter?: string) => {
    const answer = await settleHeld(id, take, planter);
    setProblem(answer.problem ? worded(answer.problem) : null);
    await renewReview();
  };
  if (!held.length) return problem ? <ProblemNote problem={problem} /> : null;
  return (
    <section class="group act-group">
      <div class="group__head">
        <Stake urgency="this-week" />
        <h2>{t("app.held.title")}</h2>
        <span>{tn("app.held.count", held.length)}</span>
      </div>
      {problem && <ProblemNote problem={problem} />}
      <ul>
        {held.map((item) => (
          <Held
            key={item.id}
            item={item}
            planters={planters}
            onSettle={(take, planter) => void settle(item.id, take, planter)}
          />
        ))}
      </ul>
    </section>
  );
}
