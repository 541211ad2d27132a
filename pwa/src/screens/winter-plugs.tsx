import type { PlanterCard } from "../domain/planter";
import { t, tn, when, word } from "../i18n";
import { byPlace, plugKept } from "./winter-tally";

function KeptBy({ card }: { card: PlanterCard }) {
  const { place, by, at } = plugKept(card);
  const who = by && !place ? t("app.plugs.seen_by", { by }) : by;
  return <>{[who, at ? when(at) : ""].filter(Boolean).join(", ")}</>;
}

/** Where every plug lies, by place: spring begins with finding the plug. */
export function Plugs({ cards }: { cards: PlanterCard[] }) {
  const places = byPlace(cards);
  const inside = cards.filter((card) => card.state.plug.state === "in").length;
  return (
    <section class="stack">
      <p>{t("app.plugs.why")}</p>
      {places.length === 0 && <p>{t("app.plugs.none")}</p>}
      <table class="table table--rows plugs">
        <caption class="hidden-text">{t("app.board.plugs")}</caption>
        <thead>
          <tr>
            <th scope="col">{t("app.plugs.place")}</th>
            <th scope="col">{t("app.plugs.planter")}</th>
            <th scope="col">{t("app.plugs.plug")}</th>
            <th scope="col">{t("app.plugs.put_by")}</th>
          </tr>
        </thead>
        <tbody>
          {places.flatMap(([place, some]) =>
            some.map((card, index) => (
              <tr key={card.id}>
                <td>
                  {index === 0 && (
                    <b class={place ? undefined : "steps__missing"}>
                      {place ?? t("app.plugs.unknown")}
                    </b>
                  )}
                </td>
                <th scope="row">
                  {card.name} <span class="soft">{card.site.name}</span>
                </th>
                <td>{word("plug", card.state.plug.state)}</td>
                <td>
                  <KeptBy card={card} />
                </td>
              </tr>
            )),
          )}
        </tbody>
      </table>
      {inside > 0 && <p>{tn("app.plugs.inside", inside)}</p>}
    </section>
  );
}
