import { useId } from "preact/hooks";
import { PostureShape, Trailing } from "./posture";

export type PlugSeen = "in" | "out" | "missing" | "unknown";

export interface PlanterCutProps {
  /** Water level from 0 to 1; null when nobody knows it. */
  level: number | null;
  /** False while the level comes from a check-in the server has not seen: drawn dashed. */
  confirmed?: boolean;
  /** What fits into the gap up to the overflow, ready-worded: "12 L" and "9 to 16 L". */
  gap?: { litres: string; range: string } | null;
  /** Words in the water: "3 L left". */
  left?: string;
  /** Words in the mix: when this level was seen. */
  seen?: string;
  /** Words in place of the water when the level is not known. */
  unknown?: string[];
  plants?: number | null;
  plug?: PlugSeen;
  overflowRuns?: boolean;
  /** Only the pot, without plants: the saved screen. */
  bare?: boolean;
  /** What the drawing says, in words. Without it the drawing is decoration. */
  label?: string;
}

const FULL_Y = 152;
const DEPTH = 124;
const BODY = "M50 106H310L292 274Q290 286 278 286H82Q70 286 68 274Z";
const GRAIN =
  "M72 125h0.1M89 133h1.9M106 134h1.9M123 125h0.1M140 118h0.1M157 116h0.1M174 135h1.0M190 112h0.1" +
  "M207 136h1.0M224 120h1.9M241 142h1.9M258 127h0.1M275 125h1.9M292 126h1.9";
const PLANTING: [number, number, number][] = [
  [91.6, 22.7, 0.95],
  [264.8, 30.1, 0.85],
  [130.4, 15.3, 1.05],
  [221.6, 22.7, 0.95],
  [169.6, 4.2, 1.2],
];

/** The height of the water's surface in the drawing. */
function surfaceAt(level: number): number {
  return FULL_Y + (1 - level) * DEPTH;
}

function Plants({ score }: { score: number }) {
  return (
    <>
      {PLANTING.map(([x, y, size]) => (
        <g key={x} transform={`translate(${x} ${y})scale(${size})`}>
          <PostureShape score={score} />
        </g>
      ))}
    </>
  );
}

function Plug({ plug }: { plug: PlugSeen }) {
  const seat = "M288 262h14v-4h8v18h-8v-4h-15z";
  if (plug === "in") return <path class="d-rim" d={seat} />;
  if (plug === "unknown") return <path class="d-shell d-ink d-dash--fine" d={seat} />;
  return (
    <>
      <path class="d-shell d-ink" d="M290 262h12v10h-13z" />
      {plug === "out" && <path class="d-rim" d="M321 289v-8h-4v-6h18v6h-4v8z" />}
      {plug === "missing" && (
        <path class="d-ink d-thin d-dash--fine" d="M321 288v-7h-4v-6h18v6h-4v7z" />
      )}
    </>
  );
}

/** Litres in the gap, set in the size the gap has room for. */
function GapWords({ gap, level }: { gap: { litres: string; range: string }; level: number }) {
  const room = surfaceAt(level) - FULL_Y;
  if (room < 20) return null;
  if (room < 45) {
    return (
      <text class="d-text d-rind" x="180" y={FULL_Y + 21} text-anchor="middle">
        {gap.litres}, {gap.range}
      </text>
    );
  }
  const most = room < 80 ? 32 : 52;
  const size = Math.min(most, Math.round(208 / Math.max(3, gap.litres.length)));
  const top = FULL_Y + (room - 12 - size - 20) / 2;
  return (
    <>
      <text
        class="d-num d-rind"
        style={{ fontSize: `${size}px` }}
        x="180"
        y={top + size * 0.86}
        text-anchor="middle"
      >
        {gap.litres}
      </text>
      <text class="d-text d-rind" x="180" y={top + size + 18} text-anchor="middle">
        {gap.range}
      </text>
    </>
  );
}

/** Water with its level mark: solid when confirmed, dashed when not. */
function Water({ level, confirmed }: { level: number; confirmed: boolean }) {
  const y = surfaceAt(level);
  return (
    <>
      {level > 0 && <path class="d-water" d={`M40 ${y}H320V290H40Z`} />}
      <path class={confirmed ? "d-surface" : "d-surface d-dash"} d={`M40 ${y}H320`} />
    </>
  );
}

function Mix() {
  return (
    <>
      <path class="d-mix" d="M40 100H320V148H40Z" />
      <path class="d-grain" d={GRAIN} />
    </>
  );
}

function Wicks() {
  return (
    <>
      <path class="d-wick" d="M101 147H123L119 276H105Z" />
      <path class="d-wick" d="M237 147H259L255 276H241Z" />
    </>
  );
}

function Shell({ overflowRuns, plug }: { overflowRuns: boolean; plug: PlugSeen }) {
  return (
    <>
      <path class="d-full" d={`M64 ${FULL_Y}H298`} />
      <path class="d-glass d-ink" d="M74 78V262H90V78Z" />
      <rect class="d-rim" x="70" y="70" width="24" height="10" rx="3" />
      <path class="d-wall" d={BODY} />
      <rect class="d-rim" x="36" y="92" width="288" height="16" rx="3" />
      <path class="d-shell d-ink" d="M300 146h20v11h-21" />
      {overflowRuns && (
        <>
          <path class="d-drop" d="M326 165.5Q333.5 179 326 179Q318.5 179 326 165.5Z" />
          <path class="d-drop" d="M326 189.2Q332 200 326 200Q320 200 326 189.2Z" />
        </>
      )}
      <Plug plug={plug} />
      <path class="d-ground" d="M0 290H360" />
    </>
  );
}

function Words(props: PlanterCutProps) {
  const { level, gap, left, seen, unknown } = props;
  const y = level === null ? 0 : surfaceAt(level);
  return (
    <>
      {level !== null && gap && <GapWords gap={gap} level={level} />}
      {level !== null && level > 0 && left && (
        <text class="d-text d-rind d-rind--water" x="180" y={y + 21} text-anchor="middle">
          {left}
        </text>
      )}
      {seen && (
        <text class="d-text d-rind d-rind--mix" x="180" y="135" text-anchor="middle">
          {seen}
        </text>
      )}
      {level === null &&
        unknown?.map((line, index) => (
          <text key={line} class="d-text d-rind" x="180" y={208 + index * 22} text-anchor="middle">
            {line}
          </text>
        ))}
    </>
  );
}

/** The planter cut open: what is in it, what fits into it, and how sure anybody is. */
export function PlanterCut(props: PlanterCutProps) {
  const clip = useId();
  const { level, confirmed = true, plants, plug = "unknown", overflowRuns = false } = props;
  return (
    <svg
      viewBox={props.bare ? "30 62 310 232" : "20 8 320 288"}
      role={props.label ? "img" : undefined}
      aria-label={props.label}
      aria-hidden={props.label ? undefined : "true"}
    >
      <clipPath id={clip}>
        <path d={BODY} />
      </clipPath>
      {!props.bare && plants ? <Plants score={plants} /> : null}
      <path class="d-shell" d={BODY} />
      <g clip-path={`url(#${clip})`}>
        <Mix />
        {level !== null && <Water level={level} confirmed={confirmed} />}
        <Wicks />
        {level !== null && level > 0 && (
          <path
            class={confirmed ? "d-surface" : "d-surface d-dash"}
            d={`M40 ${surfaceAt(level)}H320`}
          />
        )}
      </g>
      <Shell overflowRuns={overflowRuns} plug={plug} />
      {!props.bare && plants && plants > 2 ? (
        <>
          <Trailing at="28 94" />
          <Trailing at="284 94" mirror />
        </>
      ) : null}
      {level !== null && (
        <path
          class={confirmed ? "d-mark" : "d-mark--open"}
          d={`M269 ${surfaceAt(level) - 12.4}H285L277 ${surfaceAt(level) - 1}Z`}
        />
      )}
      <Words {...props} />
    </svg>
  );
}
