import type { Spot } from "../domain/site-plan";
import { t } from "../i18n";

interface PlanAimProps {
  src: string;
  width: number;
  height: number;
  /** The points marked so far, by number; the active one answers to taps and arrow keys. */
  points: (Spot | null)[];
  active: number;
  onAim: (spot: Spot) => void;
  /** Where planters would lie, once the picture is placed. */
  planters: { id: string; short: string; spot: Spot }[];
}

/** One press of an arrow key moves a point by this share of the picture's longer side. */
const NUDGE = 0.005;
const ARROWS: Record<string, [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

const within = (value: number, most: number) => Math.round(Math.max(0, Math.min(most, value)));

/** A plan picture on which points are marked: by a tap, by arrow keys, or by typed figures beside it. */
export function PlanAim({ src, width, height, points, active, onAim, planters }: PlanAimProps) {
  const aim = (x: number, y: number) => onAim({ x: within(x, width), y: within(y, height) });
  const onKey = (event: KeyboardEvent) => {
    const way = ARROWS[event.key];
    if (!way) return;
    event.preventDefault();
    const from = points[active] ?? { x: width / 2, y: height / 2 };
    const step = NUDGE * Math.max(width, height);
    aim(from.x + way[0] * step, from.y + way[1] * step);
  };
  const onTap = (event: MouseEvent) => {
    if (event.detail === 0) return; // pressed by a key: it has no place on the picture
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    aim(
      ((event.clientX - box.left) / box.width) * width,
      ((event.clientY - box.top) / box.height) * height,
    );
  };
  const share = (spot: Spot) => ({
    left: `${(spot.x / width) * 100}%`,
    top: `${(spot.y / height) * 100}%`,
  });
  return (
    <div class="aim">
      <button
        type="button"
        aria-label={t("app.siteplans.aim", { number: active + 1 })}
        onClick={onTap}
        onKeyDown={onKey}
      >
        <img src={src} alt="" width={width} height={height} />
      </button>
      {planters.map((one) => (
        <span key={one.id} class="aim__planter" style={share(one.spot)} aria-hidden="true">
          {one.short}
        </span>
      ))}
      {points.map((spot, index) =>
        spot ? (
          <span
            key={index}
            class={index === active ? "aim__point aim__point--active" : "aim__point"}
            style={share(spot)}
            aria-hidden="true"
          >
            <b>{index + 1}</b>
          </span>
        ) : null,
      )}
    </div>
  );
}
