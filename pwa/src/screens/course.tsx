import { useCallback, useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { readCourse } from "../actions/planter-course";
import { Facts } from "../components/facts";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import { Rim } from "../components/rim";
import { UsePicture } from "../components/use-beside-kind";
import type { Problem } from "../domain/planter";
import type { PlanterCourse } from "../domain/planter-course";
import { dayWords, number, t, tn, volume, word } from "../i18n";
import { readSettings } from "../store/settings";
import { CourseCharts } from "./course-charts";
import { CourseFlags } from "./course-flags";
import { CourseHere } from "./course-here";
import { CoursePhotos } from "./course-photos";
import { Lists, Moves, Plantings, Tags } from "./course-rest";
import { CourseVisits, type LoadedVisits, useVisits } from "./course-visits";
import { Desk } from "./desk";
import { amountWithUnit, HOWS, momentOnPaper } from "./report-figures";
import { useSignal } from "./use-frame";
import { worded } from "./use-register";
import { useStored } from "./use-stored";

function dayAndYear(day: string): string {
  return `${dayWords(day, true)} ${day.slice(0, 4)}`;
}

/** The season in figures, as the season report counts them. */
function Figures({ course }: { course: PlanterCourse }) {
  const { season } = course;
  return (
    <Facts
      facts={[
        [t("app.seasonreport.visits"), number(season.visits)],
        ...HOWS.map((how): [string, string | false] => [
          word("report_row", `water-${how}`),
          season.water[how] > 0 && amountWithUnit(season.water[how]),
        ]),
        [
          word("report_row", "unmeasured"),
          season.unmeasured_fills > 0 && number(season.unmeasured_fills),
        ],
        [
          word("report_row", "seen-empty"),
          season.seen_empty_days > 0 && number(season.seen_empty_days),
        ],
      ]}
    />
  );
}

function Head({ course, visits }: { course: PlanterCourse; visits: LoadedVisits }) {
  const { route } = useLocation();
  const [busy, setBusy] = useState(false);
  const print = async () => {
    setBusy(true);
    await visits.wholeSeason(course.begins);
    setBusy(false);
    // The rest of the visits has to be drawn before the page is put on paper.
    requestAnimationFrame(() => requestAnimationFrame(() => window.print()));
  };
  return (
    <div class="course__head no-print">
      <Field label={t("app.seasonreport.season")}>
        <select
          value={String(course.year)}
          onChange={(e) => route(`/p/${course.id}/history?year=${e.currentTarget.value}`)}
        >
          {course.years.map((year) => (
            <option key={year} value={String(year)}>
              {year}
            </option>
          ))}
        </select>
      </Field>
      <a class="btn" href={`/p/${course.id}`}>
        {t("app.course.record")}
      </a>
      <button type="button" class="btn" aria-disabled={busy} onClick={() => !busy && void print()}>
        {t(busy ? "app.course.print_wait" : "app.seasonreport.print")}
      </button>
    </div>
  );
}

function Told({ course }: { course: PlanterCourse }) {
  const visits = useVisits(course.id, String(course.year));
  const installed = course.installed_on
    ? t("app.course.installed", { day: dayAndYear(course.installed_on) })
    : "";
  return (
    <div class="report course">
      <Head course={course} visits={visits} />
      <p>
        <b>
          {t(course.whole ? "app.course.season" : "app.course.season_so_far", {
            year: course.year,
            from: dayAndYear(course.begins),
            to: dayAndYear(course.until),
          })}
        </b>{" "}
        {[
          course.site.name,
          t("app.planter.holds", { size: course.size, litres: volume(course.reservoir_l) }),
          word("status", course.status).toLowerCase(),
          installed,
        ]
          .filter(Boolean)
          .join(", ")}
        . {tn("app.course.records", course.records)}{" "}
        {t("app.seasonreport.made", { when: momentOnPaper(course.made_at) })}
      </p>
      <CourseCharts key={course.year} course={course} />
      {course.use && (
        <section class="report__part">
          <h2>{t("app.course.use_title")}</h2>
          <UsePicture use={course.use} />
        </section>
      )}
      <section class="report__part">
        <h2>{t("app.course.figures", { year: course.year })}</h2>
        <Figures course={course} />
      </section>
      <CoursePhotos course={course} />
      <CourseFlags key={`flags ${course.year}`} id={course.id} year={String(course.year)} />
      <CourseVisits course={course} visits={visits} />
      <Plantings course={course} />
      <Lists course={course} />
      <Tags course={course} />
      <Moves course={course} />
    </div>
  );
}

interface Asked {
  course: PlanterCourse | null;
  problem: Problem | null;
  again: () => void;
}

function useCourse(id: string, year: string | undefined, wanted: boolean): Asked {
  const [course, setCourse] = useState<PlanterCourse | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const load = useCallback(async () => {
    const answer = await readCourse(id, year);
    setProblem(answer.problem ?? null);
    if (answer.value) setCourse(answer.value);
  }, [id, year]);
  useEffect(() => {
    if (wanted) void load();
  }, [load, wanted]);
  return { course, problem, again: () => void load() };
}

/** For a volunteer: why it is short, and the way back. */
function Short({ id }: { id: string }) {
  const signal = useSignal();
  return (
    <div class="field field--wide">
      <Rim title={t("app.course.title")} back={`/p/${id}`} above="">
        {signal}
      </Rim>
      <main>
        <CourseHere id={id} why={t("app.course.coordinators_only")} />
      </main>
    </div>
  );
}

/** All seasons of one planter for the coordinator; without the server, what this phone holds. */
export function PlanterCourseScreen({ id }: { id: string }) {
  const { query } = useLocation();
  const settings = useStored(["settings"], readSettings);
  const coordinates = settings?.me?.person.role === "coordinator";
  const { course, problem, again } = useCourse(id, query.year, coordinates);
  if (!settings) return null;
  const offline = problem?.status === 0;
  const title = course ? t("app.course.title_of", { name: course.name }) : t("app.course.title");
  if (!coordinates) return <Short id={id} />;
  return (
    <Desk current="planters" title={title}>
      {offline && !course && <CourseHere id={id} why={t("app.course.offline")} onAgain={again} />}
      {problem && !(offline && !course) && <ProblemNote problem={worded(problem)} />}
      {!course && !problem && <p role="status">{t("app.course.working")}</p>}
      {course && <Told course={course} />}
    </Desk>
  );
}
