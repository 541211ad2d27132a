import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { readVisits } from "../actions/planter-course";
import { ProblemNote } from "../components/problem-note";
import { visitWords } from "../components/wording";
import type { Problem, Visit } from "../domain/planter";
import type { PlanterCourse, PlanterVisits } from "../domain/planter-course";
import { dayOf, number, t, tn, word } from "../i18n";
import { momentOnPaper } from "./report-figures";
import { worded } from "./use-register";

const MOST_AT_ONCE = 100;

export interface LoadedVisits {
  visits: Visit[];
  /** How many there are in all, and where to go on; null before the first answer. */
  told: Pick<PlanterVisits, "count" | "first" | "before"> | null;
  problem: Problem | null;
  more: () => void;
  /** Read on until the season's first day is there: paper has no button for more. */
  wholeSeason: (begins: string) => Promise<void>;
}

/** A planter's visits from a season's end back, some at a time. */
export function useVisits(id: string, year: string): LoadedVisits {
  const [visits, setVisits] = useState<Visit[]>([]);
  const [told, setTold] = useState<LoadedVisits["told"]>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const here = useRef<Visit[]>([]);
  const before = useRef<string | null | undefined>(undefined);
  const season = useRef("");

  const load = useCallback(
    async (most?: number): Promise<boolean> => {
      const wanted = season.current;
      const at = before.current;
      if (at === null) return false;
      const answer = await readVisits(id, {
        year,
        ...(at && { before: at }),
        ...(most && { most }),
      });
      // Another season was chosen, or somebody else read on in the meantime.
      if (wanted !== season.current || at !== before.current) return false;
      setProblem(answer.problem ? worded(answer.problem) : null);
      if (!answer.value) return false;
      here.current = [...here.current, ...answer.value.visits];
      before.current = answer.value.before;
      setVisits(here.current);
      setTold(answer.value);
      return true;
    },
    [id, year],
  );
  useEffect(() => {
    season.current = `${id} ${year}`;
    here.current = [];
    before.current = undefined;
    setVisits([]);
    setTold(null);
    void load();
  }, [id, year, load]);
  const wholeSeason = async (begins: string) => {
    const oldest = () => here.current.at(-1)?.at;
    while (before.current !== null && dayOf(oldest() ?? new Date()) >= begins) {
      if (!(await load(MOST_AT_ONCE))) return;
    }
  };
  return { visits, told, problem, more: () => void load(), wholeSeason };
}

function OneVisit({ visit, begins }: { visit: Visit; begins: string }) {
  // Paper holds one season, also where more of them were read.
  return (
    <li class={dayOf(visit.at) < begins ? "no-print" : undefined}>
      <p class="visit__head">
        <b>{momentOnPaper(visit.at)}</b>
        <span>{visit.by}</span>
        {visit.kind !== "check-in" && <span class="small soft">{word("kind", visit.kind)}</span>}
      </p>
      <p>{visitWords(visit)}</p>
      {visit.note && <p class="small">{t("app.visit.note", { note: visit.note })}</p>}
      {visit.time_uncertain && <p class="small soft">{t("app.visit.time_uncertain")}</p>}
      {visit.corrected && <p class="small soft">{t("app.visit.corrected")}</p>}
      {visit.photos.length > 0 && (
        <p class="small soft">{tn("app.course.visit_photos", visit.photos.length)}</p>
      )}
    </li>
  );
}

/** The whole history of visits, newest first, some at a time. */
export function CourseVisits(props: { course: PlanterCourse; visits: LoadedVisits }) {
  const { course, visits: loaded } = props;
  const { visits, told, problem } = loaded;
  return (
    <section class="report__part">
      <h2>{t("app.course.visits")}</h2>
      {told && (
        <p class="small">
          {told.first
            ? t("app.course.visits_all", {
                count: number(told.count),
                first: momentOnPaper(told.first),
              })
            : t("app.planter.no_visits")}{" "}
          {visits.length > 0 && (
            <>
              <span class="no-print">
                {t("app.course.visits_shown", {
                  shown: number(visits.length),
                  year: course.year,
                })}
              </span>
              <span class="paper-only">{t("app.course.visits_paper", { year: course.year })}</span>
            </>
          )}
        </p>
      )}
      {visits.length > 0 && (
        <ul class="visits course__visits">
          {visits.map((visit) => (
            <OneVisit key={visit.record} visit={visit} begins={course.begins} />
          ))}
        </ul>
      )}
      {problem && <ProblemNote problem={problem} />}
      {told?.before && (
        <p>
          <button type="button" class="btn" onClick={loaded.more}>
            {t("app.course.visits_more")}
          </button>
        </p>
      )}
    </section>
  );
}
