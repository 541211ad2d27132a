/** The part that is taken along: the order of work, then every planter by its stop. */

import { Caution } from "../components/caution";
import type { PlanPlanter, PlanStop, PlantingPlan } from "../domain/planting";
import { number, t, tn, volume, weight, word } from "../i18n";
import { feedWeight, loadWeight, room } from "../i18n/measures";

const STEPS = [1, 2, 3, 4, 5, 6, 7, 8, 9] as const;

function bagCaution({ bag }: PlantingPlan): string {
  const said = {
    mass: loadWeight(bag.mass_kg),
    limit: loadWeight(bag.limit_kg),
    index: number(bag.lifting_index, 1),
  };
  return t(bag.risk === "fine" ? "app.plan.bag_fine" : `app.plan.bag_${bag.risk}`, said);
}

/** In the order that keeps people from hurting themselves: the empty planter first, water last. */
export function WorkOrder({ plan }: { plan: PlantingPlan }) {
  return (
    <section class="stack">
      <h2>{t("app.plan.work")}</h2>
      <Caution>{t("app.plan.never_lift")}</Caution>
      <Caution>{bagCaution(plan)}</Caution>
      <p class="small soft">{t("app.plan.lift_limits")}</p>
      <ol class="plan__work">
        {STEPS.map((step) => (
          <li key={step}>{t(`app.plan.work_${step}`)}</li>
        ))}
      </ol>
      <p class="small soft">{t("app.plan.work_rules")}</p>
    </section>
  );
}

function plantWords(planter: PlanPlanter): string {
  return planter.plants
    .map(({ role, name, count }) =>
      t("app.plan.plant", {
        role: word("plant_role", role).toLowerCase(),
        name,
        count: count || "?",
      }),
    )
    .join("; ");
}

function weightWords(planter: PlanPlanter): string {
  const parts = [];
  if (planter.empty_kg !== null)
    parts.push(
      t(`app.plan.empty_${planter.empty_by ?? "cart"}`, { mass: weight(planter.empty_kg) }),
    );
  if (planter.moist_kg !== null && planter.full_kg !== null) {
    const said = { moist: weight(planter.moist_kg), full: weight(planter.full_kg) };
    parts.push(
      planter.most_kg === null
        ? t("app.plan.heavy", said)
        : t("app.plan.heavy_reckoned", { ...said, most: weight(planter.most_kg) }),
    );
  }
  return parts.join(" ") || t("app.plan.weight_unknown");
}

/** One planter: a box to tick on paper, its figures, its plants, what it weighs. */
function Planter({ planter }: { planter: PlanPlanter }) {
  const shape = planter.shape ? word("shape", planter.shape).toLowerCase() : "";
  const figures: [string, string][] = [
    [
      t("app.plan.mix"),
      planter.loose_l === null || planter.bags === null
        ? t("app.plan.not_known")
        : `${room(planter.loose_l)}, ${t("app.plan.bags_worth", { bags: planter.bags.toFixed(1) })}`,
    ],
    [t("app.plan.feed"), planter.feed_g === null ? "–" : feedWeight(planter.feed_g)],
    [t("app.plan.first_fill"), volume(planter.first_fill_l)],
  ];
  return (
    <li class="plan__planter">
      <div>
        <h4>
          <span class="plan__box" aria-hidden="true" />
          {planter.name}
        </h4>
        <p class="small soft">
          {[planter.size, shape, planter.scheme].filter(Boolean).join(", ")}
          {planter.status === "stored" && `, ${t("app.plan.in_store")}`}
        </p>
      </div>
      <dl class="plan__figures num">
        {figures.map(([name, figure]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{figure}</dd>
          </div>
        ))}
      </dl>
      <p class="plan__plants">{plantWords(planter) || t("app.plan.no_plants")}</p>
      <p class="small plan__weight">{weightWords(planter)}</p>
    </li>
  );
}

function Stop({ stop }: { stop: PlanStop }) {
  const loose = stop.planters.reduce((sum, one) => sum + (one.loose_l ?? 0), 0);
  const bags = stop.planters.reduce((sum, one) => sum + (one.bags ?? 0), 0);
  return (
    <section class="plan__stop">
      <div class="group__head">
        <h3>{stop.site.name}</h3>
        <p>
          {t("app.plan.stop", {
            planters: tn("app.plan.planters", stop.planters.length),
            mix: room(loose),
            bags: bags.toFixed(1),
          })}
        </p>
      </div>
      <ul>
        {stop.planters.map((planter) => (
          <Planter key={planter.id} planter={planter} />
        ))}
      </ul>
    </section>
  );
}

export function Stops({ plan }: { plan: PlantingPlan }) {
  return (
    <section class="stack">
      <h2>{t("app.plan.by_stop")}</h2>
      {plan.stops.map((stop) => (
        <Stop key={stop.site.id} stop={stop} />
      ))}
    </section>
  );
}
