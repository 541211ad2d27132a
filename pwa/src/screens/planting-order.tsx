/** What to buy, what it costs as far as prices are known, and how it gets there. */

import type { PlantingPlan } from "../domain/planting";
import { number, t, tn, word } from "../i18n";
import { loadWeight, money, room } from "../i18n/measures";

interface Row {
  name: string;
  need: string;
  in_shed: string;
  buy: string;
  cost: number | null;
}

function rowsOf(plan: PlantingPlan): Row[] {
  const { bag, bags, feed } = plan;
  const size = `${number(bag.amount, 2)} ${word("bag_unit", bag.unit)}`;
  const rows: Row[] = [
    {
      name: t("app.plan.bags_of", { size }),
      need: String(bags.need),
      in_shed: String(bags.in_shed),
      buy: String(bags.buy),
      cost: bags.cost,
    },
  ];
  if (feed) {
    rows.push({
      name: feed.name || t("app.plan.feed"),
      need: loadWeight(feed.need_kg),
      in_shed: loadWeight(feed.in_shed_kg),
      buy: loadWeight(feed.buy_kg),
      cost: feed.cost,
    });
  }
  for (const plant of plan.plants) {
    rows.push({
      name: plant.name,
      need: t("app.plan.with_reserve", { need: plant.need, more: plant.with_reserve }),
      in_shed: String(plant.in_shed),
      buy: String(plant.buy),
      cost: plant.cost,
    });
  }
  for (const part of plan.parts) {
    rows.push({
      name: part.name,
      need: t("app.plan.to_keep", { keep: part.keep }),
      in_shed: String(part.in_shed),
      buy: String(part.buy),
      cost: part.cost,
    });
  }
  return rows;
}

function Trips({ plan }: { plan: PlantingPlan }) {
  if (!plan.trips?.length) return null;
  const pieces = ["bags", "trays", "cans"] as const;
  return (
    <div class="stack stack--close">
      <h3>{tn("app.plan.trips", plan.trips.length)}</h3>
      <ol class="plan__trips">
        {plan.trips.map((trip, at) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a load is known by its number alone
          <li key={at}>
            {pieces
              .filter((piece) => trip[piece] > 0)
              .map((piece) => tn(`app.plan.${piece}`, trip[piece]))
              .join(", ")}
            {`: ${loadWeight(trip.mass_kg)}, ${room(trip.room_l)}`}
          </li>
        ))}
      </ol>
    </div>
  );
}

function Sum({ plan }: { plan: PlantingPlan }) {
  return (
    <div class="stack stack--close">
      {plan.cost === null ? (
        <p>{t("app.plan.no_prices")}</p>
      ) : (
        <p class="head num">{t("app.plan.cost", { sum: money(plan.cost, plan.currency) })}</p>
      )}
      {plan.cost !== null && plan.unpriced.length > 0 && (
        <p>{t("app.plan.unpriced", { names: plan.unpriced.join(", ") })}</p>
      )}
    </div>
  );
}

/** The shopping list: bags rounded once for the order, less what the shed holds. */
export function Order({ plan }: { plan: PlantingPlan }) {
  const saved = plan.bags.if_each_rounded - plan.bags.need;
  return (
    <section class="stack plan__order">
      <h2>{t("app.plan.order")}</h2>
      <p class="small soft">
        {t("app.plan.order_how", {
          settling: number(plan.settling * 100),
          reserve: number(plan.reserve * 100),
        })}
        {saved > 0 && ` ${tn("app.plan.saved", saved)}`}
      </p>
      <table class="table table--rows plan__table">
        <thead>
          <tr>
            <th scope="col">{t("app.plan.item")}</th>
            <th scope="col" class="num">
              {t("app.plan.needed")}
            </th>
            <th scope="col" class="num">
              {t("app.plan.in_shed")}
            </th>
            <th scope="col" class="num">
              {t("app.plan.buy")}
            </th>
            <th scope="col" class="num">
              {t("app.plan.price")}
            </th>
          </tr>
        </thead>
        <tbody>
          {rowsOf(plan).map((row) => (
            <tr key={row.name}>
              <th scope="row">
                <span class="plan__box" aria-hidden="true" />
                {row.name}
              </th>
              <td class="num" data-name={t("app.plan.needed")}>
                {row.need}
              </td>
              <td class="num" data-name={t("app.plan.in_shed")}>
                {row.in_shed}
              </td>
              <td class="num" data-name={t("app.plan.buy")}>
                <b>{row.buy}</b>
              </td>
              <td class="num" data-name={t("app.plan.price")}>
                {row.cost === null ? "–" : money(row.cost, plan.currency)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <Sum plan={plan} />
      {plan.feed && <p class="small soft">{feedWords(plan)}</p>}
      <Trips plan={plan} />
    </section>
  );
}

function feedWords({ feed, feed_g_l }: PlantingPlan): string {
  const said = {
    rate: number(feed_g_l ?? 0, 2),
    share: number((feed?.share ?? 0) * 100),
  };
  return t(feed?.by_label ? "app.plan.feed_by_label" : "app.plan.feed_by_guide", said);
}
