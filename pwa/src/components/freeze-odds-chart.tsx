import { type Bar, oddsShape } from "../domain/freeze-odds";
import type { FreezeChance } from "../domain/planter";
import { dayWords, t, temperature, today } from "../i18n";
import { useWidth } from "./use-width";

const ROW = 76;
const TOP = 26;
const SIZE = 16;
/** Letters of a short day at their size [px]; nearer days would touch. */
const DAY_PX = 58;
const TALL = 16;

/** A threshold in the chosen unit: "32 °F" or "0 °C". */
export function threshold(f: number): string {
  return temperature((f - 32) / 1.8);
}

/** What a threshold is called. */
export function thresholdName(f: number): string {
  if (f >= 36) return t("app.freezedates.frost");
  return f >= 32 ? t("app.freezedates.freeze") : t("app.freezedates.hard");
}

/** The days to name under a bar: both ends, and the middle where there is room for it. */
function named(bar: Bar): Bar["at"] {
  const first = bar.at[0];
  const last = bar.at.at(-1);
  const middle = bar.at.find((one) => one.chance === 50);
  if (!first || !last) return [];
  const room =
    middle && middle.x - first.x >= DAY_PX && last.x - middle.x >= DAY_PX ? [middle] : [];
  return last.x - first.x >= DAY_PX ? [first, ...room, last] : [first];
}

function Row({ bar, y, width }: { bar: Bar; y: number; width: number }) {
  const at = (chance: number) => bar.at.find((one) => one.chance === chance)?.x;
  const first = bar.at[0];
  const last = bar.at.at(-1);
  const [low, high] = [at(20), at(80)];
  const middle = at(50);
  const style = { fontSize: `${SIZE}px` };
  const line = y + 34;
  return (
    <g>
      <text class="c-strong" style={style} x="0" y={y + SIZE}>
        {threshold(bar.f)}
        <tspan class="c-text" style={style} dx="8">
          {thresholdName(bar.f)}
        </tspan>
      </text>
      {first && last ? (
        <>
          <path class="c-frost" d={`M${first.x} ${line}H${last.x}`} />
          <path class="c-frost" d={`M${first.x} ${line - 6}v12M${last.x} ${line - 6}v12`} />
          {low !== undefined && high !== undefined && (
            <rect
              class="c-mild"
              x={Math.min(low, high)}
              y={line - TALL / 2}
              width={Math.abs(high - low)}
              height={TALL}
            />
          )}
          {middle !== undefined && (
            <path class="c-now" d={`M${middle} ${line - TALL / 2 - 2}v${TALL + 4}`} />
          )}
          {named(bar).map((one) => (
            <text
              key={one.chance}
              class="c-text"
              style={style}
              x={Math.min(width - DAY_PX / 2, Math.max(DAY_PX / 2, one.x))}
              y={line + TALL / 2 + SIZE + 2}
              text-anchor="middle"
            >
              {dayWords(one.day, true)}
            </text>
          ))}
        </>
      ) : (
        <text class="c-text" style={style} x="0" y={line + SIZE / 2}>
          {t("app.freezedates.never")}
        </text>
      )}
    </g>
  );
}

function described(odds: readonly FreezeChance[]): string {
  return odds
    .map((one) => {
      const { p10, p50, p90 } = one;
      const day = (at: string | null) => (at ? dayWords(at, true) : "–");
      return t("app.freezedates.row_label", {
        low: threshold(one.f),
        p10: day(p10),
        p50: day(p50),
        p90: day(p90),
      });
    })
    .join(" ");
}

/**
 * The odds as bars on one line of days: the thin line runs from the 10 to the 90 % day, the box
 * holds the days between 20 and 80 %, the upright in it is the even chance.
 */
export function FreezeOddsChart({ odds }: { odds: readonly FreezeChance[] }) {
  const { ref, width } = useWidth<HTMLDivElement>(328);
  const shape = oddsShape(odds, 4, width - 4, today());
  const foot = TOP + ROW * odds.length;
  const height = foot + SIZE + 8;
  const style = { fontSize: `${SIZE}px` };
  return (
    <div ref={ref} class="chart">
      {shape && (
        <svg class="fig" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={described(odds)}>
          {shape.months.map((month) => (
            <g key={month.day}>
              <path class="c-grid" d={`M${month.x} ${TOP - 4}V${foot}`} />
              <text
                class="c-text"
                style={style}
                x={Math.min(width - 24, Math.max(24, month.x))}
                y={SIZE}
                text-anchor="middle"
              >
                {dayWords(month.day, true)}
              </text>
            </g>
          ))}
          {shape.now !== null && (
            <>
              <path class="c-axis" d={`M${shape.now} ${TOP}V${foot}`} />
              <text
                class="c-strong"
                style={style}
                x={Math.min(width - 24, Math.max(24, shape.now))}
                y={height - 4}
                text-anchor="middle"
              >
                {t("app.chart.today")}
              </text>
            </>
          )}
          {shape.bars.map((bar, index) => (
            <Row key={bar.f} bar={bar} y={TOP + ROW * index} width={width} />
          ))}
        </svg>
      )}
    </div>
  );
}
