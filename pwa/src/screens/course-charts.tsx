import { useState } from "preact/hooks";
import { LevelPanel } from "../components/course-level";
import { spanWords } from "../components/course-panel";
import { PlantsPanel } from "../components/course-plants";
import { HeatPanel, RainPanel, rainWords } from "../components/course-sky";
import { Fold } from "../components/fold";
import { useWidth } from "../components/use-width";
import {
  closeSpan,
  closeSteps,
  type PlanterCourse,
  type Span,
  signsSeen,
  stepsToLast,
  wholeSpan,
} from "../domain/planter-course";
import { dayWords, number, t, temperature, tn, volume, word } from "../i18n";
import { amountWithUnit } from "./report-figures";

/** From this width on a whole season has room. */
const DESK_WIDTH = 896;

/** Signs in words: which, how often, when last. */
function Signs({ course, span }: { course: PlanterCourse; span: Span }) {
  const signs = signsSeen(course.season, span);
  if (!signs.length) return null;
  const said = signs.map(({ sign, count, last }) =>
    tn("app.course.sign", count, {
      sign: word("sign", sign).toLowerCase(),
      last: dayWords(last, true),
    }),
  );
  return (
    <p class="small">
      <b>{t("app.course.signs")}</b> {said.join("; ")}.
    </p>
  );
}

function WeekTable({ course }: { course: PlanterCourse }) {
  const heads = [
    "week",
    "visits",
    "lowest",
    "rain",
    "high",
    "overflow",
    "given",
    "plants",
  ] as const;
  const { weeks } = course.season;
  return (
    <table class="table report__table course__weeks">
      <thead>
        <tr>
          {heads.map((head) => (
            <th key={head} scope="col" class={head === "week" ? undefined : "num"}>
              {t(`app.course.week_${head}`)}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {weeks.map((week) => {
          const cells: [(typeof heads)[number], string][] = [
            ["visits", number(week.visits)],
            ["lowest", week.lowest_l === null ? "" : volume(week.lowest_l)],
            ["rain", week.rain_mm === null ? "" : rainWords(week.rain_mm)],
            ["high", week.tmax_c === null ? "" : temperature(week.tmax_c)],
            ["overflow", week.overflows ? number(week.overflows) : ""],
            [
              "given",
              [
                week.given_l || week.overhead_l
                  ? amountWithUnit((10 * week.given_l + 10 * week.overhead_l) / 10)
                  : "",
                week.unmeasured ? t("app.course.week_unmeasured", { count: week.unmeasured }) : "",
              ]
                .filter(Boolean)
                .join(" "),
            ],
            [
              "plants",
              [
                week.worst_plants === null ? "" : String(week.worst_plants),
                ...week.signs.map((sign) => word("sign", sign).toLowerCase()),
              ]
                .filter(Boolean)
                .join(", "),
            ],
          ];
          return (
            <tr key={week.first}>
              <th scope="row">{dayWords(week.first, true)}</th>
              {cells.map(([head, said]) => (
                <td key={head} class="num" data-label={t(`app.course.week_${head}`)}>
                  {said}
                </td>
              ))}
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

interface Look {
  whole: boolean;
  steps: number;
}

function Ways(props: { span: Span; most: number; look: Look; onLook: (look: Look) => void }) {
  const { span, most, look, onLook } = props;
  if (!most) return null;
  const step = (by: number) => onLook({ whole: false, steps: look.steps + by });
  return (
    <div class="row row--wrap course__ways no-print">
      <button
        type="button"
        class="btn"
        aria-pressed={look.whole}
        onClick={() => onLook({ ...look, whole: true })}
      >
        {t("app.course.look_season")}
      </button>
      <button
        type="button"
        class="btn"
        aria-pressed={!look.whole}
        onClick={() => onLook({ ...look, whole: false })}
      >
        {t("app.course.look_close")}
      </button>
      {!look.whole && (
        <>
          <button
            type="button"
            class="btn"
            aria-disabled={look.steps >= most}
            onClick={() => look.steps < most && step(1)}
          >
            {t("app.course.look_earlier")}
          </button>
          <button
            type="button"
            class="btn"
            aria-disabled={look.steps === 0}
            onClick={() => look.steps > 0 && step(-1)}
          >
            {t("app.course.look_later")}
          </button>
        </>
      )}
      <span class="small" role="status">
        {spanWords(span)}
      </span>
    </div>
  );
}

/** Water, rain, heat and plants under each other on one line of days; then the same as a table. */
export function CourseCharts({ course }: { course: PlanterCourse }) {
  const whole = wholeSpan(course);
  const most = closeSteps(whole);
  const [look, setLook] = useState<Look>(() => ({
    whole: most === 0 || window.innerWidth >= DESK_WIDTH,
    steps: stepsToLast(course, whole),
  }));
  const { ref, width } = useWidth<HTMLDivElement>(328);
  const span = look.whole ? whole : closeSpan(whole, look.steps);
  const panel = { course, span, width };
  return (
    <section class="report__part course__charts">
      <h2>{t("app.course.charts")}</h2>
      <Ways span={span} most={most} look={look} onLook={setLook} />
      <div ref={ref} class="chart course__stack">
        <LevelPanel {...panel} />
        {course.season.sky.length > 0 ? (
          <>
            <RainPanel {...panel} />
            <HeatPanel {...panel} />
          </>
        ) : (
          <p class="small">{t("app.course.sky_none")}</p>
        )}
        <PlantsPanel {...panel} />
      </div>
      <Signs course={course} span={span} />
      {!course.season.believed.length && <p class="small soft">{t("app.course.only_seen")}</p>}
      {course.season.weeks.length > 0 && (
        <div class="no-print">
          <Fold summary={t("app.course.as_table")}>
            <WeekTable course={course} />
          </Fold>
        </div>
      )}
    </section>
  );
}
