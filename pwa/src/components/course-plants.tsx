import { dayScale, plantsShape, within } from "../domain/planter-course";
import { dayWords, t, tn } from "../i18n";
import { Days, EdgeWord, frameOf, Panel, type PanelProps, sizeOf, spanWords } from "./course-panel";
import { PostureShape } from "./posture";

const HEIGHT = 168;
/** Room under the floor for the row of signs. */
const SIGNS = 18;
/** Room over the highest mark for the plant that stands there. */
const TOP = 30;
const CLOSE_PX = 4;
const NAMED = [5, 3, 1];

function described({ course, span }: PanelProps): string {
  const seen = course.season.plants.filter((one) => within(span, one.day) && one.score !== null);
  const last = seen.at(-1);
  if (!last) return t("app.course.plants_none", { span: spanWords(span) });
  const worst = seen.reduce((least, one) => ((one.score ?? 5) < (least.score ?? 5) ? one : least));
  return `${tn("app.course.plants_label", seen.length, { span: spanWords(span) })} ${t(
    "app.course.plants_worst",
    {
      worst: worst.score ?? "",
      worst_day: dayWords(worst.day),
      last: last.score ?? "",
      last_day: dayWords(last.day),
    },
  )}`;
}

/** The plants' marks from 1 to 5, the days' signs beneath; joined, as health does not jump. */
export function PlantsPanel(props: PanelProps) {
  const { course, span, width } = props;
  const frame = frameOf(width, HEIGHT, true);
  const shape = plantsShape(course, span, {
    ...frame,
    top: TOP,
    bottom: frame.bottom + SIGNS,
  });
  const size = sizeOf(width);
  const r = dayScale(span, frame).day < CLOSE_PX ? 2.75 : 4;
  const line = shape.scores.map(({ at: [x, y] }) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L");
  const row = shape.floor + SIGNS - 6;
  return (
    <Panel
      title={t("app.course.plants")}
      legend={t("app.course.plants_legend")}
      label={described(props)}
      frame={frame}
    >
      {NAMED.map((score) => (
        <g key={score}>
          <path class="c-grid" d={`M${frame.left} ${shape.y(score)}H${width - frame.right}`} />
          <EdgeWord y={shape.y(score)} size={size}>
            {score}
          </EdgeWord>
          <g transform={`translate(16 ${shape.y(score) - 26})scale(.44)`}>
            <PostureShape score={score} />
          </g>
        </g>
      ))}
      <Days {...props} frame={frame} dated />
      {shape.scores.length > 1 && <path class="c-leaf" d={`M${line}`} />}
      {shape.scores.map(({ record, at: [x, y], unsure }) => (
        <circle key={record} class={unsure ? "c-read c-unsure" : "c-read"} cx={x} cy={y} r={r} />
      ))}
      {shape.signs.map(({ record, x }) => (
        <path
          key={record}
          class="c-sign"
          d={`M${x - r} ${row - r}l${2 * r} ${2 * r}m0 ${-2 * r}l${-2 * r} ${2 * r}`}
        />
      ))}
    </Panel>
  );
}
