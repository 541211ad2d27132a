import { Caution } from "../components/caution";
import { Facts } from "../components/facts";
import { ReservoirChart } from "../components/reservoir-chart";
import { dailyUse, peersWords, readToday, stressWords } from "../components/wording";
import type { PlanterView } from "../domain/pending";
import type { PlanterCard, WaterCard } from "../domain/planter";
import { atOdds, freshWater } from "../domain/water";
import { dayAhead, dayWords, inUnits, t, today, word } from "../i18n";
import { isNew } from "./planter-care";

/** From which day the figures are, and whether this phone knows better. Nothing when all is new. */
function Age({ view, water }: { view: PlanterView; water: WaterCard }) {
  const stale = freshWater(view.card, view.waiting) === null;
  const day = dayWords(water.as_of);
  if (stale) return <p class="small soft">{t("app.water.before_own", { day })}</p>;
  if (atOdds(view.card, water, today(), readToday(view.card))) {
    return (
      <p class="small">
        <b>{t("app.water.at_odds")}</b>
      </p>
    );
  }
  if (water.as_of === today()) return null;
  return <p class="small soft">{t("app.water.as_of", { day })}</p>;
}

/** How long the water lasts in one sentence, how sure that is, and what would make it surer. */
export function WaterSaid({ view }: { view: PlanterView }) {
  const water = view.card.water;
  if (!water) return null;
  const use = dailyUse(water);
  const rooting = isNew(view);
  return (
    <section class="water-said stack stack--close" aria-label={t("app.water.title")}>
      {/* Until roots are down the sentence and the day are those of the new planting. */}
      <p>
        {rooting ? (
          <span class="soft">{t("app.establishment.reservoir")}</span>
        ) : (
          <b>{inUnits(water.sentence)}</b>
        )}
      </p>
      {(water.doubts ?? []).map((doubt) => (
        <Caution key={doubt}>{inUnits(doubt)}</Caution>
      ))}
      <Age view={view} water={water} />
      <Facts
        facts={[
          [
            t("app.water.sure"),
            <>
              <b>{word("sure", water.sure)}</b> {inUnits(water.surer)}
            </>,
          ],
          [t("app.water.stress"), stressWords(water)],
          [t("app.water.use"), use && [use, peersWords(water)].filter(Boolean).join("; ")],
          [t("app.water.visit_by"), !rooting && water.visit_by && dayAhead(water.visit_by)],
          [t("app.water.weather"), word("water_weather", water.weather)],
        ]}
      />
    </section>
  );
}

/** The reservoir of the last weeks and of the two to come. */
export function WaterChart({ card }: { card: PlanterCard }) {
  if (!card.water?.series.length) return null;
  return (
    <section class="stack stack--close">
      <div class="row chart__head">
        <h2>{t("app.chart.title")}</h2>
        <span class="small soft">{t("app.chart.legend")}</span>
      </div>
      <ReservoirChart water={card.water} capacity={card.reservoir_l} />
    </section>
  );
}
