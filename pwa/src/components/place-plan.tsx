import type { Siting, SitingThing } from "../domain/planter";
import { t, word } from "../i18n";
import { length } from "../i18n/measures";
import { useWidth } from "./use-width";

export interface PlacePlanProps {
  siting: Siting;
  shape: string | null;
}

const TALL = 220;
const EDGE = 26;
const SIZE = 16;
/** So much of the path is drawn beyond the planter to either side [cm]. */
const AROUND_CM = 90;

/** Where a thing is drawn: along from the planter's edge, and across from the kerb side. */
function across(thing: SitingThing, path_cm: number): number {
  if (thing.from_kerb_cm !== null) return thing.from_kerb_cm + thing.width_cm / 2;
  return thing.what === "door" || thing.what === "tap" ? path_cm : 0;
}

/** What the drawing shows, in words. */
function described({ facts, plan }: Siting): string {
  const [from = 0, to = 0] = plan.planter;
  return t("app.place.plan_label", {
    path: length(facts.path_cm),
    from: length(from),
    to: length(to),
    clear: length(plan.clear_cm),
    needed: length(plan.needed_cm),
  });
}

/**
 * The place from above, to scale: the kerb below, the wall above, the planter solid, its full-grown
 * plants dashed, and between them and the edge the width that stays clear.
 */
export function PlacePlan({ siting, shape }: PlacePlanProps) {
  const { facts, plan } = siting;
  const { ref, width } = useWidth<HTMLDivElement>(328);
  const [c0 = 0, c1 = 0] = plan.canopy;
  const grown = facts.length_cm + (c1 - c0 - facts.width_cm);
  const scale = Math.min(TALL / facts.path_cm, width / (grown + 2 * AROUND_CM));
  const tall = facts.path_cm * scale;
  const height = tall + 2 * EDGE;
  const middle = width / 2;
  const y = (cm: number) => EDGE + tall - cm * scale;
  const [p0 = 0, p1 = 0] = plan.planter;
  const [g0 = 0, g1 = 0] = plan.clear;
  const half = (facts.length_cm * scale) / 2;
  const box = { x: middle - half, y: y(p1), width: 2 * half, height: (p1 - p0) * scale };
  const arrow = Math.min(width - 40, middle + (grown * scale) / 2 + 24);
  const short = plan.clear_cm < plan.needed_cm;
  const style = { fontSize: `${SIZE}px` };
  return (
    <div ref={ref} class="chart plan">
      <svg class="fig" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={described(siting)}>
        <rect class="plan-path" x="0" y={EDGE} width={width} height={tall} />
        <rect class="plan-clear" x="0" y={y(g1)} width={width} height={(g1 - g0) * scale} />
        <path class="plan-edge" d={`M0 ${EDGE}H${width}M0 ${EDGE + tall}H${width}`} />
        {shape === "round" ? (
          <ellipse
            class="plan-planter"
            cx={middle}
            cy={y((p0 + p1) / 2)}
            rx={half}
            ry={box.height / 2}
          />
        ) : (
          <rect class="plan-planter" {...box} rx="3" />
        )}
        <ellipse
          class="plan-canopy"
          cx={middle}
          cy={y((c0 + c1) / 2)}
          rx={(grown * scale) / 2}
          ry={((c1 - c0) * scale) / 2}
        />
        <path
          class="plan-size"
          d={`M${arrow} ${y(g0)}V${y(g1)}M${arrow - 6} ${y(g0)}h12M${arrow - 6} ${y(g1)}h12`}
        />
        <text
          class={short ? "c-bloom" : "c-strong"}
          style={style}
          x={arrow - 8}
          y={y((g0 + g1) / 2) + SIZE / 3}
          text-anchor="end"
        >
          {length(plan.clear_cm)}
        </text>
        <text class="c-text" style={style} x="0" y={SIZE}>
          {t("app.place.wall_side")}
        </text>
        <text class="c-text" style={style} x="0" y={height - 6}>
          {t("app.place.kerb_side")}
        </text>
        {facts.things.map((thing, index) => (
          <Mark
            key={`${thing.what} ${thing.distance_cm}`}
            number={index + 1}
            x={middle + half + thing.distance_cm * scale}
            y={y(across(thing, facts.path_cm))}
            right={width}
          />
        ))}
      </svg>
      {facts.things.length > 0 && (
        <ol class="plan-things">
          {facts.things.map((thing) => (
            <li key={`${thing.what} ${thing.distance_cm}`}>
              {t("app.place.thing_at", {
                what: word("thing", thing.what),
                distance: length(thing.distance_cm),
              })}
            </li>
          ))}
        </ol>
      )}
    </div>
  );
}

/** A thing by its number; one farther off than the drawing is left to the list. */
function Mark(props: { number: number; x: number; y: number; right: number }) {
  if (props.x > props.right - 12) return null;
  return (
    <g>
      <circle class="plan-thing" cx={props.x} cy={props.y} r="11" />
      <text class="plan-number" x={props.x} y={props.y + 5} text-anchor="middle">
        {props.number}
      </text>
    </g>
  );
}
