import { useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { renewPlan } from "../actions/plan";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { Options } from "../components/options";
import { ProblemNote } from "../components/problem-note";
import type { Problem, Town } from "../domain/planter";
import type { PlantingPlan } from "../domain/planting";
import { clock, dayOf, dayWords, t, tn, volume } from "../i18n";
import { feedWeight, room } from "../i18n/measures";
import { readPlan } from "../store/plans";
import { listPlanters, readTown } from "../store/planters";
import { Desk } from "./desk";
import { Order } from "./planting-order";
import { Stops, WorkOrder } from "./planting-stops";
import { worded } from "./use-register";
import { useStored } from "./use-stored";

const ALL = "all";

/** For what the plan is made: everything, a site, or the one planter it was opened from. */
function Scope(props: { scope: string; town: Town | undefined; planter: string | undefined }) {
  const { scope, town, planter } = props;
  const { route } = useLocation();
  return (
    <Field label={t("app.plan.scope")}>
      <select
        value={scope}
        onChange={(e) => route(`/planting?scope=${encodeURIComponent(e.currentTarget.value)}`)}
      >
        <option value={ALL}>{t("app.plan.everything")}</option>
        <Options of={town?.sites ?? []} />
        {planter && <option value={scope}>{planter}</option>}
      </select>
    </Field>
  );
}

function Totals({ plan }: { plan: PlantingPlan }) {
  const { totals } = plan;
  return (
    <dl class="plan__totals num">
      <div>
        <dt>{t("app.plan.total_bags")}</dt>
        <dd>{plan.bags.need}</dd>
      </div>
      <div>
        <dt>{t("app.plan.total_mix")}</dt>
        <dd>{room(totals.loose_l)}</dd>
      </div>
      <div>
        <dt>{t("app.plan.total_plants")}</dt>
        <dd>{totals.plants}</dd>
      </div>
      {totals.feed_g !== null && (
        <div>
          <dt>{t("app.plan.total_feed")}</dt>
          <dd>{feedWeight(totals.feed_g)}</dd>
        </div>
      )}
      <div>
        <dt>{t("app.plan.total_water")}</dt>
        <dd>{volume(totals.first_fill_l)}</dd>
      </div>
    </dl>
  );
}

/** With day and year: on paper "today" means nothing. */
function madeWords(at: string): string {
  const day = dayOf(at);
  return `${dayWords(day)} ${day.slice(0, 4)}, ${clock(at)}`;
}

function Plan({ plan }: { plan: PlantingPlan }) {
  return (
    <>
      <div class="stack stack--close">
        <p>
          <b>{`${plan.title}, ${tn("app.plan.planters", plan.totals.planters)}`}</b>
        </p>
        <p class="soft">{t("app.plan.made", { when: madeWords(plan.made_at) })}</p>
      </div>
      {plan.notes.map((note) => (
        <Caution key={note}>{note}</Caution>
      ))}
      <Totals plan={plan} />
      <WorkOrder plan={plan} />
      <Stops plan={plan} />
      <Order plan={plan} />
    </>
  );
}

/** Planting day: what goes into which planter, in which order, and what to buy. Kept on this phone. */
export function PlantingScreen() {
  const scope = useLocation().query.scope || ALL;
  const [problem, setProblem] = useState<Problem | null>(null);
  const read = useStored(
    ["town", "planters"],
    async () => ({
      plan: await readPlan(scope),
      town: await readTown(),
      planter: (await listPlanters()).find((card) => card.id === scope)?.name,
    }),
    [scope],
  );
  useEffect(() => {
    void renewPlan(scope).then((answer) =>
      setProblem(answer.problem ? worded(answer.problem) : null),
    );
  }, [scope]);
  const plan = read?.plan;
  return (
    <Desk current="planting" title={t("app.plan.title")}>
      <div class="plan__head no-print">
        <Scope scope={scope} town={read?.town} planter={read?.planter} />
        <a class="btn" href="/register?part=materials">
          {t("app.plan.to_materials")}
        </a>
        {plan && (
          <button type="button" class="act" onClick={() => window.print()}>
            {t("app.plan.print")}
          </button>
        )}
      </div>
      {problem && !plan && <ProblemNote problem={problem} />}
      {problem && plan && <p class="soft no-print">{t("app.plan.as_kept")}</p>}
      {plan && <Plan plan={plan} />}
    </Desk>
  );
}
