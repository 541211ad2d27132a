import {
  type Column,
  FREEZE_C,
  HOT_C,
  heatShape,
  rainShape,
  type SkyShape,
  within,
} from "../domain/planter-course";
import { dayWords, number, rainNumber, t, temperature, weatherUnits } from "../i18n";
import { Days, EdgeWord, frameOf, Panel, type PanelProps, sizeOf, spanWords } from "./course-panel";

const RAIN_HEIGHT = 64;
const HEAT_HEIGHT = 92;
const NBSP = "\u00a0";
const MOST_PX = 9;

export function rainWords(mm: number): string {
  return `${rainNumber(mm)}${NBSP}${weatherUnits().rain}`;
}

function wide(shape: SkyShape): number {
  return Math.max(1, Math.min(MOST_PX, shape.day * 0.72));
}

function Rain({ column, shape }: { column: Column; shape: SkyShape }) {
  const w = wide(shape);
  return (
    <rect
      class={column.ahead ? "c-rain--ahead" : "c-rain"}
      x={column.x - w / 2}
      y={column.to}
      width={w}
      height={Math.max(1, column.from - column.to)}
    />
  );
}

/** A day from low to high; what lies beyond 30 °C stands solid, what lies below 0 °C hangs in frost. */
function Heat({ column, shape }: { column: Column; shape: SkyShape }) {
  const { x, from, to, ahead } = column;
  const w = wide(shape);
  const [hot, cold] = [shape.y(HOT_C), shape.y(FREEZE_C)];
  const part = (name: string, top: number, foot: number) =>
    foot > top && (
      <rect
        key={name}
        class={`${name}${ahead ? " c-ahead" : ""}`}
        x={x - w / 2}
        y={top}
        width={w}
        height={foot - top}
      />
    );
  return (
    <>
      {part("c-mildday", Math.max(to, hot), Math.min(from, cold))}
      {part("c-hotday", to, Math.min(from, hot))}
      {part("c-frostbar", Math.max(to, cold), from)}
    </>
  );
}

function daysOf({ course, span }: PanelProps) {
  return course.season.sky.filter((one) => within(span, one.date) && one.date <= course.until);
}

function rainDescribed(props: PanelProps): string {
  const known = daysOf(props).filter((one) => one.rain_mm !== null);
  const wet = known.filter((one) => one.rain_mm);
  const most = wet.reduce<(typeof wet)[number] | null>(
    (best, one) => (best === null || (one.rain_mm ?? 0) > (best.rain_mm ?? 0) ? one : best),
    null,
  );
  if (!most) {
    return t("app.course.rain_none", { span: spanWords(props.span), days: number(known.length) });
  }
  return t("app.course.rain_label", {
    span: spanWords(props.span),
    wet: number(wet.length),
    known: number(known.length),
    most: rainWords(most.rain_mm ?? 0),
    day: dayWords(most.date),
  });
}

function heatDescribed(props: PanelProps): string {
  const days = daysOf(props);
  const [first] = days;
  if (!first) return t("app.course.sky_none");
  const hottest = days.reduce((best, one) => (one.tmax_c > best.tmax_c ? one : best), first);
  const coldest = days.reduce((best, one) => (one.tmin_c < best.tmin_c ? one : best), first);
  return t("app.course.heat_label", {
    span: spanWords(props.span),
    high: temperature(hottest.tmax_c),
    hot_day: dayWords(hottest.date),
    low: temperature(coldest.tmin_c),
    cold_day: dayWords(coldest.date),
    hot: number(days.filter((one) => one.tmax_c >= HOT_C).length),
    line: temperature(HOT_C),
  });
}

/** Rain on the same days as the reservoir above it. */
export function RainPanel(props: PanelProps) {
  const { course, span, width } = props;
  const frame = frameOf(width, RAIN_HEIGHT);
  const shape = rainShape(course, span, frame);
  const top = shape.lines[0];
  return (
    <Panel title={t("app.course.rain")} label={rainDescribed(props)} frame={frame}>
      <Days {...props} frame={frame} dated={false} />
      {shape.columns.map((column) => (
        <Rain key={column.date} column={column} shape={shape} />
      ))}
      <path class="c-axis" d={`M${frame.left} ${shape.floor}H${width - frame.right}`} />
      {top && (
        <EdgeWord y={top.y + 4} size={sizeOf(width)}>
          {rainWords(top.value)}
        </EdgeWord>
      )}
    </Panel>
  );
}

/** Each day's low and high on the same days. */
export function HeatPanel(props: PanelProps) {
  const { course, span, width } = props;
  const frame = frameOf(width, HEAT_HEIGHT);
  const shape = heatShape(course, span, frame);
  return (
    <Panel
      title={t("app.course.heat")}
      legend={t("app.course.heat_legend", { line: temperature(HOT_C) })}
      label={heatDescribed(props)}
      frame={frame}
    >
      <Days {...props} frame={frame} dated={false} />
      {shape.columns.map((column) => (
        <Heat key={column.date} column={column} shape={shape} />
      ))}
      {shape.lines.map(({ value, y }) => (
        <g key={value}>
          <path class="c-grid" d={`M${frame.left} ${y}H${width - frame.right}`} />
          <EdgeWord y={y} size={sizeOf(width)}>
            {temperature(value)}
          </EdgeWord>
        </g>
      ))}
    </Panel>
  );
}
