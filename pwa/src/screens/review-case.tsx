import { Caution } from "../components/caution";
import { ReservoirChart } from "../components/reservoir-chart";
import { VisitLine } from "../components/visit-line";
import type { Person, RoundCard, Visit } from "../domain/planter";
import type { ReviewCase } from "../domain/review";
import { dayWords, inUnits, t, when } from "../i18n";
import { PhotoThumb } from "./photo-thumb";
import { Decide } from "./review-decide";

/** The visits a flag rests on, whole, with their photos. */
function Evidence({ visits, planter }: { visits: Visit[]; planter: string }) {
  if (!visits.length) return <p class="small soft">{t("app.review.no_evidence")}</p>;
  return (
    <ul class="visits">
      {visits.map((visit) => (
        <VisitLine key={visit.record} visit={visit}>
          {visit.photos.length > 0 && (
            <div class="thumbs">
              {visit.photos.map((sha) => (
                <PhotoThumb
                  key={sha}
                  sha={sha}
                  alt={t("app.photo.of", { planter, day: when(visit.at) })}
                  onItsWay={visit.photo_state[sha] === "on-its-way"}
                />
              ))}
            </div>
          )}
        </VisitLine>
      ))}
    </ul>
  );
}

export interface OpenedCaseProps {
  one: ReviewCase;
  people: Person[];
  rounds: RoundCard[];
  onDone: () => void;
}

/** Evidence at the left, what becomes of it at the right: the one raised part of the screen. */
export function OpenedCase({ one, people, rounds, onDone }: OpenedCaseProps) {
  const { planter, flag } = one;
  return (
    <div class="pot case__open">
      <section class="stack">
        <p>
          <b>{inUnits(flag.advice)}</b>
        </p>
        {planter.water && (
          <ReservoirChart water={planter.water} capacity={planter.reservoir_l} small />
        )}
        {flag.caution && <Caution>{inUnits(flag.caution)}</Caution>}
        <h3>{t("app.review.evidence")}</h3>
        <Evidence visits={one.evidence} planter={planter.name} />
        <p>
          <a class="btn" href={`/p/${planter.id}`}>
            {t("app.review.planter", { name: planter.name })}
          </a>
        </p>
        <p class="small soft">
          {t("app.review.since_only", { day: dayWords(flag.since) })}{" "}
          {t("app.review.source", { source: flag.source })}
        </p>
      </section>
      <section class="stack">
        <h3>{t("app.review.decide")}</h3>
        <Decide one={one} people={people} rounds={rounds} onDone={onDone} />
      </section>
    </div>
  );
}
