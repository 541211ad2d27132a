import { VisitLine } from "../components/visit-line";
import { t, tn } from "../i18n";
import { PlanterHistory } from "./planter-history";
import { WaterChart } from "./planter-water";
import { usePlanter } from "./use-planter";

/** What this phone holds of a planter, and why it is not more. */
export function CourseHere(props: { id: string; why: string; onAgain?: () => void }) {
  const { id, why, onAgain } = props;
  const planter = usePlanter(id);
  const card = planter?.view.card;
  return (
    <div class="stack stack--wide">
      <p class="banner">{why}</p>
      <p class="row row--wrap">
        {onAgain && (
          <button type="button" class="btn" onClick={onAgain}>
            {t("app.course.again")}
          </button>
        )}
        <a class="btn" href={`/p/${id}`}>
          {t("app.course.record")}
        </a>
      </p>
      {planter === null && <p>{t("app.planter.unknown_why")}</p>}
      {card && (
        <>
          <h2>{card.name}</h2>
          <WaterChart card={card} />
          <section class="stack">
            <h2>{tn("app.course.here_visits", card.visits.length)}</h2>
            <ul class="visits">
              {card.visits.map((visit) => (
                <VisitLine key={visit.record} visit={visit} />
              ))}
            </ul>
          </section>
          <PlanterHistory card={card} />
        </>
      )}
    </div>
  );
}
