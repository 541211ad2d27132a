import { useId } from "preact/hooks";
import type { WaterCard } from "../domain/planter";
import {
  around,
  type ChartShape,
  chartShape,
  type Frame,
  type Point,
  tickDays,
} from "../domain/reservoir-chart";
import { daysBetween } from "../domain/time";
import { forecastLitres } from "../domain/water";
import { dayWords, t, tn, volume, volumeNumber, weekday } from "../i18n";
import { Hatch } from "./hatch";
import { useWidth } from "./use-width";

export interface ReservoirChartProps {
  water: WaterCard;
  /** What the reservoir holds up to the overflow [L]. */
  capacity: number;
  /** The one beside a flag: lower, and named by days only. */
  small?: boolean;
}

/** From this width on there is room for a taller chart with smaller words, as on a desk. */
const DESK_WIDTH = 560;
/** A letter's share of the type size, to keep words from touching. */
const LETTER = 0.6;
/** Days before and after today in the small one. */
const SMALL_DAYS = [20, 10] as const;

interface Look {
  frame: Frame;
  size: number;
}

function lookFor(width: number, small: boolean): Look {
  const desk = width >= DESK_WIDTH;
  const size = small || desk ? 14 : 16;
  const height = small ? 112 : desk ? 216 : 184;
  const left = desk && !small ? 48 : 40;
  return { size, frame: { width, height, left, right: 8, top: size + 12, bottom: size + 12 } };
}

function path(points: readonly Point[]): string {
  const [first, ...rest] = points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`);
  // A lone point is drawn as a dot: a line of no length with round ends.
  return `M${first}${rest.length ? `L${rest.join("L")}` : "h0.1"}`;
}

function Past({ shape }: { shape: ChartShape }) {
  return (
    <>
      {shape.past.map((run) => {
        const from = run[0]?.[0] ?? 0;
        const to = run.at(-1)?.[0] ?? 0;
        return (
          <g key={from}>
            <path class="c-water" d={`${path(run)}L${to} ${shape.floor}L${from} ${shape.floor}Z`} />
            <path class="c-line" d={path(run)} />
          </g>
        );
      })}
    </>
  );
}

function Ahead({ shape }: { shape: ChartShape }) {
  const hatch = useId();
  if (shape.ahead.length < 2) return null;
  return (
    <>
      <Hatch id={hatch} />
      <path class="c-band" fill={`url(#${hatch})`} d={`${path(shape.band)}Z`} />
      <path class="c-mid" d={path(shape.ahead)} />
    </>
  );
}

function Marks({ shape }: { shape: ChartShape }) {
  return (
    <>
      {shape.fills.map(([x, y]) => (
        <path key={x} class="c-fill" d={`M${x - 5} ${y - 10}h10l-5 8z`} />
      ))}
      {shape.readings.map(([x, y]) => (
        <circle key={`${x} ${y}`} class="c-read" cx={x} cy={y} r="4" />
      ))}
      {shape.dry && <path class="c-dry" d={`M${shape.dry.x - 6} ${shape.floor + 6}h12l-6 -11z`} />}
    </>
  );
}

function dryWords(day: string, today: string, small: boolean): string {
  const days = daysBetween(today, day);
  const name = days <= 0 ? t("app.chart.today") : days < 7 ? weekday(day) : dayWords(day, true);
  return small ? name : t("app.chart.dry", { day: name });
}

/** A word under or over the chart, kept inside its frame. */
function placed(x: number, words: string, { size, frame }: Look) {
  const room = words.length * size * LETTER + size * 0.75;
  const half = room / 2 - size * 0.375;
  return { x: Math.max(half, Math.min(frame.width - half, x)), room, words };
}

function Axis({
  shape,
  water,
  look,
  small,
}: {
  shape: ChartShape;
  water: WaterCard;
  look: Look;
  small: boolean;
}) {
  const { frame } = look;
  const end = frame.width - frame.right;
  const foot = frame.height - 3;
  const style = { fontSize: `${look.size}px` };
  const dry = shape.dry && placed(shape.dry.x, dryWords(shape.dry.day, water.as_of, small), look);
  const room = placed(0, dayWords("2026-10-28", true), look).room;
  const days = tickDays(shape, water, room, dry ? [dry] : []).map((day) =>
    placed(shape.x(day), dayWords(day, true), look),
  );
  const now = placed(shape.now, t("app.chart.today"), look);
  return (
    <>
      <path
        class="c-grid"
        d={`M${frame.left} ${shape.full}H${end}M${frame.left} ${shape.half}H${end}`}
      />
      <path class="c-axis" d={`M${frame.left} ${shape.floor}H${end}`} />
      <text class="c-text" style={style} x="0" y={shape.full + look.size * 0.35}>
        {t("app.chart.full")}
      </text>
      <text class="c-text" style={style} x="0" y={shape.half + look.size * 0.35}>
        {t("app.chart.half")}
      </text>
      {days.map((one) => (
        <text key={one.words} class="c-text" style={style} x={one.x} y={foot} text-anchor="middle">
          {one.words}
        </text>
      ))}
      {dry && (
        <text class="c-bloom" style={style} x={dry.x} y={foot} text-anchor="middle">
          {dry.words}
        </text>
      )}
      <path class="c-now" d={`M${shape.now} ${shape.full - 6}V${shape.floor}`} />
      <text class="c-strong" style={style} x={now.x} y={look.size - 2} text-anchor="middle">
        {now.words}
      </text>
    </>
  );
}

/** The chart's data in words, for who cannot see it. */
function described(water: WaterCard, capacity: number, shape: ChartShape): string {
  const { mid, low, high } = water.level_l;
  const said = [t("app.chart.label", { holds: volume(capacity) })];
  if (mid !== null && low !== null && high !== null) {
    said.push(
      t("app.chart.label_now", { litres: volume(mid), low: volumeNumber(low), high: volume(high) }),
    );
  }
  said.push(
    `${tn("app.chart.readings", shape.readings.length)}, ${tn("app.chart.fills", shape.fills.length)}.`,
  );
  if (shape.dry) said.push(t("app.chart.label_dry", { day: dayWords(shape.dry.day) }));
  else if (shape.ahead.length > 1) said.push(t("app.chart.label_lasts"));
  const next = forecastLitres(water, water.as_of);
  if (next) said.push(t("app.chart.label_top_up", { litres: volume(next.litres_l) }));
  return said.join(" ");
}

/**
 * The reservoir over time: water as an area under a dark line, wedge a fill, open circle a reading,
 * upright line today, then the dashed middle of the forecast in its hatched band.
 */
export function ReservoirChart(props: ReservoirChartProps) {
  const { capacity, small = false } = props;
  const water = small ? around(props.water, ...SMALL_DAYS) : props.water;
  const { ref, width } = useWidth<HTMLDivElement>(small ? 248 : 328);
  const look = lookFor(width, small);
  const shape = chartShape(water, capacity, look.frame);
  const { height } = look.frame;
  return (
    <div ref={ref} class="chart">
      {shape && (
        <svg
          class="fig"
          viewBox={`0 0 ${width} ${height}`}
          role="img"
          aria-label={described(water, capacity, shape)}
        >
          <Past shape={shape} />
          <Ahead shape={shape} />
          <Axis shape={shape} water={water} look={look} small={small} />
          <Marks shape={shape} />
        </svg>
      )}
    </div>
  );
}
