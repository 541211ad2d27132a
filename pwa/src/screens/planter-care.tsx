import { Facts } from "../components/facts";
import { Fold } from "../components/fold";
import { aboveWords, fedWords } from "../components/wording-care";
import { feedOf, lastFed } from "../domain/feeding";
import type { PlanterView } from "../domain/pending";
import type { Establishment, PlanterCard, Town } from "../domain/planter";
import type { CheckInBody } from "../domain/records";
import { dayOf, dayWords, t, today, when } from "../i18n";

/** The new planting's schedule; a card kept from an older server has none. */
export function newPlanting(card: PlanterCard): Establishment | null {
  return (card as Partial<PlanterCard>).establishment ?? null;
}

/** True where this phone recorded a planting that nobody has assessed yet. */
function justPlanted(view: PlanterView): boolean {
  return view.waiting.some((entry) => entry.kind === "planting" && entry.outcome !== "held");
}

/** True while roots are short, as far as this phone knows. */
export function isNew(view: PlanterView): boolean {
  return newPlanting(view.card) !== null || justPlanted(view);
}

function wateredSince(view: PlanterView): boolean {
  return view.waiting.some(
    (entry) => entry.kind === "check-in" && Boolean((entry.body as CheckInBody).overhead_l ?? 0),
  );
}

/** A new planting: the reservoir does not count yet, and when its top wants water. */
export function Establishing({ view }: { view: PlanterView }) {
  const known = newPlanting(view.card);
  if (!isNew(view)) return null;
  return (
    <section class="water-said stack stack--close" aria-label={t("app.establishment.title")}>
      <p>
        <b>
          {known
            ? `${t("app.establishment.not_yet")} ${aboveWords(known.water_by)}.`
            : t("app.establishment.just_planted")}
        </b>
      </p>
      {known && known.water_by < today() && (
        <p>{t("app.establishment.overdue", { day: dayWords(known.water_by) })}</p>
      )}
      {known && <p class="small">{known.why}</p>}
      {wateredSince(view) && <p class="small soft">{t("app.establishment.watered")}</p>}
    </section>
  );
}

/** Feed and salts: the last and the next feed, what was read, and how to flush. */
export function CareSaid({ view, town }: { view: PlanterView; town: Town | undefined }) {
  const { card } = view;
  const { feeding = null, salts = null } = card as Partial<PlanterCard>;
  const fed = lastFed(card, feedOf(town), today(), dayOf);
  if (!feeding && !salts && !fed) return null;
  const reading = salts?.reading;
  return (
    <section class="stack">
      <h2>{t("app.salt.title")}</h2>
      <Facts
        facts={[
          [t("app.feed.title"), fed ? fedWords(fed, feeding?.sentence) : feeding?.sentence],
          [t("app.salt.poured"), salts?.sentence],
          [t("app.salt.read"), reading && `${reading.sentence} ${when(reading.at)}, ${reading.by}`],
        ]}
      />
      {salts && (
        <Fold summary={t("app.salt.flush")}>
          <ol class="stack">
            {salts.flush_steps.map((step) => (
              <li key={step}>{step}</li>
            ))}
          </ol>
        </Fold>
      )}
    </section>
  );
}
