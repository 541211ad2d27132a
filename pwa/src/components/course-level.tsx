import { useId } from "preact/hooks";
import {
  type DrawnMark,
  dayScale,
  type LevelShape,
  levelShape,
  within,
} from "../domain/planter-course";
import type { Point } from "../domain/reservoir-chart";
import { dayWords, type Key, t, tn, volume } from "../i18n";
import { Days, EdgeWord, frameOf, Panel, type PanelProps, sizeOf, spanWords } from "./course-panel";
import { Hatch } from "./hatch";

const HEIGHT = 176;
/** Under so many pixels a day marks are drawn small. */
const CLOSE_PX = 4;

function path(points: readonly Point[]): string {
  return `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}`;
}

function Believed({ shape }: { shape: LevelShape }) {
  const hatch = useId();
  const { past, ahead, band, floor } = shape;
  const first = past[0]?.[0];
  const last = past.at(-1)?.[0];
  return (
    <>
      {past.length > 1 && (
        <>
          <path class="c-water" d={`${path(past)}L${last} ${floor}L${first} ${floor}Z`} />
          <path class="c-line" d={path(past)} />
        </>
      )}
      {ahead.length > 1 && (
        <>
          <Hatch id={hatch} />
          <path class="c-band" fill={`url(#${hatch})`} d={`${path(band)}Z`} />
          <path class="c-mid" d={path(ahead)} />
        </>
      )}
    </>
  );
}

/** One visit's water: circle read, line up to where it was filled, wedge there, bar if it ran over. */
function Mark({ mark, shape, small }: { mark: DrawnMark; shape: LevelShape; small: boolean }) {
  const { x, read, filled } = mark;
  const s = small ? 0.65 : 1;
  const top = filled ?? shape.floor;
  const wedge = `M${x - 5 * s} ${top - 9 * s}h${10 * s}l${-5 * s} ${8 * s}z`;
  return (
    <g class={mark.unsure ? "c-unsure" : undefined}>
      {mark.drained && <path class="c-drained" d={`M${x} ${shape.full}V${shape.floor}`} />}
      {read !== null && filled !== null && <path class="c-given" d={`M${x} ${read}V${filled}`} />}
      {filled !== null && <path class="c-fill" d={wedge} />}
      {mark.unknown && <path class="c-fill--open" d={wedge} />}
      {mark.over && <path class="c-over" d={`M${x - 6 * s} ${top - 11 * s}h${12 * s}v${5 * s}`} />}
      {mark.wet && (
        <path
          class="c-wet"
          d={`M${x} ${shape.full - 5 * s}l${5 * s} ${5 * s}l${-5 * s} ${5 * s}l${-5 * s} ${-5 * s}z`}
        />
      )}
      {read !== null && <circle class="c-read" cx={x} cy={read} r={4 * s} />}
    </g>
  );
}

/** Names the shapes that are there, and no others. */
function legend({ marks, ahead }: LevelShape): string {
  const there: [boolean, Key][] = [
    [marks.some((one) => one.read !== null), "app.course.legend_read"],
    [marks.some((one) => one.filled !== null), "app.course.legend_filled"],
    [marks.some((one) => one.unknown), "app.course.legend_unknown"],
    [marks.some((one) => one.over), "app.course.legend_over"],
    [marks.some((one) => one.wet), "app.course.legend_wet"],
    [marks.some((one) => one.drained), "app.course.legend_drained"],
    [marks.some((one) => one.unsure), "app.course.legend_unsure"],
    [ahead.length > 1, "app.course.legend_ahead"],
  ];
  return there.flatMap(([seen, key]) => (seen ? [t(key)] : [])).join("; ");
}

function described({ course, span }: PanelProps): string {
  const marks = course.season.marks.filter((one) => within(span, one.day));
  const reads = marks.filter((one) => one.read_l !== null);
  const fills = marks.filter((one) => one.given_l !== null || one.filled_to_l !== null);
  const over = marks.filter((one) => one.overflow === "ran-while-filling");
  const low = reads.reduce<(typeof reads)[number] | null>(
    (least, one) => (least === null || (one.read_l ?? 0) < (least.read_l ?? 0) ? one : least),
    null,
  );
  const said = [
    t("app.course.level_label", { span: spanWords(span), holds: volume(course.reservoir_l) }),
    `${tn("app.chart.readings", reads.length)}, ${tn("app.chart.fills", fills.length)}, ${tn("app.course.overflows", over.length)}.`,
  ];
  if (low) {
    said.push(
      t("app.course.level_lowest", { litres: volume(low.read_l ?? 0), day: dayWords(low.day) }),
    );
  }
  const end = course.season.believed.filter((one) => one.ahead && within(span, one.date)).at(-1);
  if (end) {
    const band = { low: volume(end.low), high: volume(end.high), day: dayWords(end.date) };
    said.push(t("app.course.level_ahead", { litres: volume(end.mid), ...band }));
  }
  return said.join(" ");
}

/** The reservoir through the season: what was read, what was poured, what is believed and expected. */
export function LevelPanel(props: PanelProps) {
  const { course, span, width } = props;
  const frame = frameOf(width, HEIGHT, true);
  const shape = levelShape(course, span, { ...frame, top: 24 });
  const size = sizeOf(width);
  const small = dayScale(span, frame).day < CLOSE_PX;
  const end = width - frame.right;
  return (
    <Panel
      title={t("app.chart.title")}
      legend={legend(shape)}
      label={described(props)}
      frame={frame}
    >
      <Believed shape={shape} />
      <path class="c-grid" d={`M${frame.left} ${shape.full}H${end}`} />
      <path class="c-grid" d={`M${frame.left} ${shape.half}H${end}`} />
      <path class="c-axis" d={`M${frame.left} ${shape.floor}H${end}`} />
      <Days {...props} frame={{ ...frame, top: shape.full }} dated />
      <EdgeWord y={shape.full} size={size}>
        {t("app.chart.full")}
      </EdgeWord>
      <EdgeWord y={shape.half} size={size}>
        {t("app.chart.half")}
      </EdgeWord>
      {shape.marks.map((mark) => (
        <Mark key={mark.record} mark={mark} shape={shape} small={small} />
      ))}
    </Panel>
  );
}
