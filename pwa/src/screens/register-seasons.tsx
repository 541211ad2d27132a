import { useCallback, useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { closeSeason, type OpenSeason, readSeasons, type Seasons } from "../actions/seasons";
import { Caution } from "../components/caution";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { dayWords, t, tn, when } from "../i18n";
import { ArchivedSeason } from "./register-season";
import { LeftOpen } from "./season-open";
import { worded } from "./use-register";

/** Closing asks once, with everything that is open before one's eyes. */
function Closing({ season, onDone }: { season: OpenSeason; onDone: () => Promise<void> }) {
  const [asked, setAsked] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const close = async () => {
    const answer = await closeSeason(season.year, season.open_count);
    setProblem(answer.problem ? worded(answer.problem) : null);
    setAsked(false);
    if (answer.value || answer.problem.status === 412) await onDone();
  };
  return (
    <section class="stack">
      <h3>{t("app.seasons.of", { year: season.year })}</h3>
      <p>
        {t("app.seasons.span", { begins: dayWords(season.begins), ends: dayWords(season.ends) })}
      </p>
      {season.open_count > 0 ? (
        <p>
          <b>{t("app.seasons.still_open")}</b>
        </p>
      ) : (
        <p>{t("app.seasons.nothing_open")}</p>
      )}
      <LeftOpen season={season} />
      {problem && <ProblemNote problem={problem} />}
      {asked ? (
        <div class="slab stack">
          <Caution>
            {season.open_count
              ? tn("app.seasons.ask_open", season.open_count)
              : t("app.seasons.ask")}
          </Caution>
          <div class="row row--wrap">
            <button type="button" class="btn" onClick={() => void close()}>
              {t("app.seasons.close_now", { year: season.year })}
            </button>
            <button type="button" class="btn" onClick={() => setAsked(false)}>
              {t("app.seasons.not_yet")}
            </button>
          </div>
        </div>
      ) : (
        <button type="button" class="btn" onClick={() => setAsked(true)}>
          {t("app.seasons.close")}
        </button>
      )}
    </section>
  );
}

function Closed({ seasons }: { seasons: Seasons["closed"] }) {
  if (!seasons.length) return <p>{t("app.seasons.none")}</p>;
  return (
    <ul class="stack">
      {seasons.map((one) => (
        <li key={one.year} class="slab stack stack--close">
          <a class="btn" href={`/register?part=seasons&year=${one.year}`}>
            {t("app.seasons.of", { year: one.year })}
          </a>
          <p>
            {t("app.seasons.closed_by", { when: when(one.closed_at), by: one.closed_by })}{" "}
            {one.reopened_at &&
              t("app.seasons.reopened_by", {
                when: when(one.reopened_at),
                by: one.reopened_by ?? "",
                reason: one.reason,
              })}
          </p>
          <p>
            {t("app.seasons.proven_of", { proven: one.totals.proven, of: one.totals.planters })}{" "}
            {one.late_count > 0 && tn("app.seasons.late", one.late_count)}
          </p>
        </li>
      ))}
    </ul>
  );
}

/** Closing a season, and those that were closed. */
export function SeasonsPart() {
  const { query } = useLocation();
  const [seasons, setSeasons] = useState<Seasons | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const read = useCallback(async () => {
    const answer = await readSeasons();
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) setSeasons(answer.value);
  }, []);
  useEffect(() => {
    void read();
  }, [read, query.year]);
  if (query.year) return <ArchivedSeason key={query.year} year={query.year} />;
  return (
    <section class="stack stack--wide">
      <h2>{t("app.seasons.title")}</h2>
      <p>{t("app.seasons.what")}</p>
      {problem && <ProblemNote problem={problem} />}
      {seasons?.open.map((one) => (
        <Closing key={one.year} season={one} onDone={read} />
      ))}
      {seasons && (
        <section class="stack">
          <h3>{t("app.seasons.past")}</h3>
          <Closed seasons={seasons.closed} />
        </section>
      )}
    </section>
  );
}
