import type { ComponentChildren } from "preact";
import { layOut, type Mark } from "../domain/plan-marks";
import type { Urgency } from "../domain/planter";
import type { Sheet, Spot } from "../domain/site-plan";
import { t, tn } from "../i18n";
import { Stake } from "./stake";

/** Something with a mark of its own. */
export interface PlanItem {
  id: string;
  spot: Spot;
  href: string;
  /** In full, for who cannot see the drawing; it ends in what stands on the mark. */
  name: string;
  short: string;
  urgency: Urgency | null;
  /** Beneath the name where nothing is urgent, and how wide it is [px at the usual size of text]. */
  calm?: ComponentChildren;
  calm_px?: number;
}

interface PlanDrawingProps {
  sheet: Sheet;
  label: string;
  items: PlanItem[];
  /** Things without a mark of their own: taps. */
  things: { id: string; spot: Spot }[];
  /** Address of the plan picture; none: a drawing on plain ground. */
  picture?: string | undefined;
  /** Side of a square on the ground [px]. */
  square: number;
  /** Where the mark for several leads. */
  openGroup: (ids: string[]) => string;
  groupWord: "planters" | "sites";
  onPictureLost?: () => void;
}

/** Widths by what a mark says [px at the usual size of text]; the names of sites need more. */
const WIDTHS: Record<Urgency, number> = {
  today: 82,
  "this-week": 112,
  watch: 82,
};
const CALM_PX = 56;
const LETTER = 10;
const TALL = 58;
const GROUP = { width: 116, height: TALL };
/** So much room is left above and below a picture for marks: on a phone it is low. */
const aroundPicture = (width: number) =>
  width < 560 ? { above: 84, below: 30 } : { above: 20, below: 0 };

/** How much larger than usual the phone's text is. */
function textScale(): number {
  return Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / 16 || 1;
}

const RANK: (Urgency | null)[] = ["today", "this-week", "watch", null];
const worst = (items: PlanItem[]) =>
  RANK.find((one) => items.some((item) => item.urgency === one)) ?? null;

/** The line from a mark to its spot, from the nearest edge. */
function Tie({ mark }: { mark: Mark }) {
  const { left, top, width, height } = mark;
  const beside = mark.y >= top && mark.y <= top + height;
  const from = beside
    ? { x: mark.x < left ? left : left + width, y: top + height / 2 }
    : {
        x: Math.max(left + 12, Math.min(mark.x, left + width - 12)),
        y: mark.y > top ? top + height : top,
      };
  const line = `M${from.x} ${from.y}L${mark.x} ${mark.y}`;
  return (
    <>
      <path class="siteplan__halo" d={line} />
      <path class="siteplan__tie" d={line} />
      <circle class="siteplan__spot" cx={mark.x} cy={mark.y} r="5" />
    </>
  );
}

function MarkLink({
  mark,
  items,
  props,
}: {
  mark: Mark;
  items: PlanItem[];
  props: PlanDrawingProps;
}) {
  const place = {
    left: `${mark.left}px`,
    top: `${mark.top}px`,
    width: `${mark.width}px`,
    height: `${mark.height}px`,
  };
  const [only] = items;
  const urgency = worst(items);
  if (items.length === 1 && only) {
    const before = only.name.slice(0, only.name.length - only.short.length);
    return (
      <a class={`mark-plate${urgency ? "" : " mark-plate--calm"}`} style={place} href={only.href}>
        <b>
          {only.name.endsWith(only.short) ? (
            <>
              {before && <span class="hidden-text">{before}</span>}
              {only.short}
            </>
          ) : (
            <>
              {only.short}
              <span class="hidden-text"> {only.name}</span>
            </>
          )}
        </b>
        {urgency ? <Stake urgency={urgency} small /> : only.calm}
      </a>
    );
  }
  return (
    <a
      class="mark-plate mark-plate--several"
      style={place}
      href={props.openGroup(items.map((one) => one.id))}
    >
      <b>{tn(`app.siteplan.gathered_${props.groupWord}`, items.length)}</b>
      {urgency && <Stake urgency={urgency} small />}
    </a>
  );
}

/**
 * Planters, or sites, at their places: on plain ground with squares, or on a plan picture. Every mark
 * is a link with a word and a shape; none covers another. In the order of the list that goes with it.
 */
export function PlanDrawing(props: PlanDrawingProps) {
  const { sheet, items, things, picture } = props;
  const { above, below } = picture ? aroundPicture(sheet.width) : { above: 0, below: 0 };
  const room = { width: sheet.width, height: sheet.height + above + below };
  const size = textScale();
  const down = (spot: Spot) => ({ x: spot.x, y: spot.y + above });
  const marks = layOut(
    items.map((item) => ({
      id: item.id,
      ...down(item.spot),
      width:
        size *
        Math.min(
          190,
          Math.max(
            item.urgency ? WIDTHS[item.urgency] : (item.calm_px ?? CALM_PX),
            item.short.length * LETTER + 24,
          ),
        ),
      height: TALL * size,
    })),
    room,
    { width: GROUP.width * size, height: GROUP.height * size },
    things.map((thing) => down(thing.spot)),
  );
  const byId = new Map(items.map((item) => [item.id, item]));
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset is for forms
    <div
      class="siteplan"
      role="group"
      aria-label={props.label}
      style={{ height: `${room.height}px` }}
    >
      {picture && (
        <img
          class="siteplan__picture"
          src={picture}
          alt=""
          width={sheet.width}
          height={sheet.height}
          style={{ top: `${above}px` }}
          onError={props.onPictureLost}
        />
      )}
      <svg class="siteplan__ground" viewBox={`0 0 ${room.width} ${room.height}`} aria-hidden="true">
        {!picture && <Squares room={room} sheet={sheet} side={props.square} />}
        {things.map((thing) => (
          <TapSign key={thing.id} spot={down(thing.spot)} />
        ))}
        {marks.map((mark) => (
          <Tie key={mark.ids[0]} mark={mark} />
        ))}
      </svg>
      <ul>
        {marks.map((mark) => (
          <li key={mark.ids[0]}>
            <MarkLink
              mark={mark}
              items={mark.ids.flatMap((id) => byId.get(id) ?? [])}
              props={props}
            />
          </li>
        ))}
      </ul>
    </div>
  );
}

/** Paving: squares of one length, so that ways can be judged. */
function Squares({ room, sheet, side }: { room: Sheetlike; sheet: Sheet; side: number }) {
  const from = sheet.spot({ east: 0, north: 0 });
  const lines: string[] = [];
  for (let x = from.x % side; x < room.width; x += side) lines.push(`M${x} 0V${room.height}`);
  for (let y = from.y % side; y < room.height; y += side) lines.push(`M0 ${y}H${room.width}`);
  return <path class="siteplan__squares" d={lines.join("")} />;
}

type Sheetlike = { width: number; height: number };

function TapSign({ spot }: { spot: Spot }) {
  return (
    <g class="siteplan__tap" transform={`translate(${spot.x - 13} ${spot.y - 13})`}>
      <rect width="26" height="26" rx="3" />
      <path d="M4 10h11q4 0 4 5v1M9 10V6M5.5 6h7M17 19.5v2" />
    </g>
  );
}

/** How to read the drawing: a bar of a round length, and where north points. */
export function PlanKey({ px, words, turn_deg }: { px: number; words: string; turn_deg: number }) {
  return (
    <div class="siteplan__key">
      <svg width={px + 2} height="14" viewBox={`0 0 ${px + 2} 14`} aria-hidden="true">
        <path class="siteplan__bar" d={`M1 2V12M1 7H${px + 1}M${px + 1} 2V12`} />
      </svg>
      <span>{words}</span>
      <NorthArrow turn_deg={turn_deg} />
    </div>
  );
}

function NorthArrow({ turn_deg }: { turn_deg: number }) {
  return (
    <svg
      class="siteplan__north push"
      width="44"
      height="44"
      viewBox="-22 -22 44 44"
      aria-hidden="true"
    >
      <g transform={`rotate(${turn_deg})`}>
        <path class="siteplan__needle" d="M0 -4L7 14L0 10L-7 14Z" />
        <text x="0" y="-7" text-anchor="middle" transform={`rotate(${-turn_deg} 0 -12)`}>
          {t("app.siteplan.n")}
        </text>
      </g>
    </svg>
  );
}
