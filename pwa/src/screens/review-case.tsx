import { Caution } from "../components/caution";
import { Potlet } from "../components/potlet";
import { ReservoirChart } from "../components/reservoir-chart";
import { Stake } from "../components/stake";
import { VisitLine } from "../components/visit-line";
import { decisionWords } from "../components/wording";
import type { FlagCard, Person, Visit } from "../domain/planter";
import type { ReviewCase } from "../domain/review";
import { dayWords, inUnits, t, when } from "../i18n";
import { PhotoThumb } from "./photo-thumb";
import { Decide } from "./review-decide";

/** What was decided about a flag, by whom, until when, and whether the server knows it yet. */
function Decided({ flag, unsent }: { flag: FlagCard; unsent: boolean }) {
  const made = flag.decision;
  if (!made) return null;
  return (
    <p class="small">
      <b>{decisionWords(made)}</b>
      {made.note ? `: ${made.note}` : ""}{" "}
      {unsent && <span class="unsent">{t("app.record_state.not_sent")}</span>}
    </p>
  );
}

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

/** Evidence at the left, what becomes of it at the right: the one raised part of the screen. */
function Opened({
  one,
  people,
  onDone,
}: Pick<CaseProps, "one" | "people"> & { onDone: () => void }) {
  const { planter, flag } = one;
  return (
    <div class="pot case__open">
      <section class="stack">
        <div class="row">
          <Potlet
            kind="level"
            level={planter.state.level?.value ?? null}
            dashed={!planter.state.level}
          />
          <p>
            <b>{inUnits(flag.advice)}</b>
          </p>
        </div>
        {planter.water && (
          <ReservoirChart water={planter.water} capacity={planter.reservoir_l} small />
        )}
        {flag.caution && <Caution>{inUnits(flag.caution)}</Caution>}
        <h3>{t("app.review.evidence")}</h3>
        <Evidence visits={one.evidence} planter={planter.name} />
        <p class="small soft">{t("app.review.source", { source: flag.source })}</p>
      </section>
      <section class="stack">
        <h3>{t("app.review.decide")}</h3>
        <Decide one={one} people={people} onDone={onDone} />
      </section>
    </div>
  );
}

export interface CaseProps {
  one: ReviewCase;
  people: Person[];
  /** A decision of this phone that has not been sent yet. */
  unsent: boolean;
  open: boolean;
  onOpen: (open: boolean) => void;
}

/** One flag at one planter: the sentence, and behind one tap its evidence and the decision. */
export function CaseLine({ one, people, unsent, open, onOpen }: CaseProps) {
  const { planter, flag } = one;
  const day = dayWords(flag.since);
  return (
    <li class="case">
      <Stake urgency={flag.urgency} />
      <div class="stack stack--close">
        <p>
          <a href={`/p/${planter.id}`}>
            <b>{planter.name}</b>
          </a>
          <b>{`: ${flag.name}.`}</b> {inUnits(flag.sentence)}
        </p>
        <p class="small soft">
          {planter.name.startsWith(planter.site.name)
            ? t("app.review.since_only", { day })
            : t("app.review.since", { day, site: planter.site.name })}
        </p>
        <Decided flag={flag} unsent={unsent} />
      </div>
      <button type="button" class="btn" aria-expanded={open} onClick={() => onOpen(!open)}>
        {open ? t("app.review.close") : t("app.review.open")}
      </button>
      {open && <Opened one={one} people={people} onDone={() => onOpen(false)} />}
    </li>
  );
}
