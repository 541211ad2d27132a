import { aboveWords } from "../components/wording-care";
import type { PlanterCard } from "../domain/planter";
import { dayWords, t, tn } from "../i18n";

/** Plantings whose roots are not down, the one that wants water first on top. */
export function newPlantings(cards: readonly PlanterCard[]): PlanterCard[] {
  const by = (card: PlanterCard) => card.establishment?.water_by ?? "";
  return cards
    .filter((card) => (card as Partial<PlanterCard>).establishment)
    .sort((one, other) => (by(one) < by(other) ? -1 : 1));
}

/** Who has to water from above, and by when: a reservoir says nothing of these. */
export function NewPlantings({ cards }: { cards: readonly PlanterCard[] }) {
  if (!cards.length) return null;
  return (
    <section class="group">
      <div class="group__head">
        <h2>{t("app.establishment.review")}</h2>
        <span>{tn("app.review.planters", cards.length)}</span>
      </div>
      <ul class="stack">
        {cards.map((card) => (
          <li key={card.id}>
            <a class="list-link list-link--plain" href={`/p/${card.id}`}>
              <span>
                <b>{card.name}</b>
                <br />
                <span class="small">
                  {card.establishment &&
                    t("app.establishment.rooted", { day: dayWords(card.establishment.rooted_on) })}
                </span>
              </span>
              <b>{card.establishment && aboveWords(card.establishment.water_by)}</b>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
