/** What the panels of a planter's season share: one frame, one line of days, today. */

import type { ComponentChildren } from "preact";
import {
  dayScale,
  namedDays,
  type PlanterCourse,
  type Span,
  within,
} from "../domain/planter-course";
import type { Frame } from "../domain/reservoir-chart";
import { dayWords, t } from "../i18n";

export interface PanelProps {
  course: PlanterCourse;
  span: Span;
  width: number;
}

/** From this width on there is room for smaller words, as on a desk. */
const DESK_WIDTH = 560;
const LETTER = 0.6;

/** The panel's frame, so that days stand under each other in all of them. */
export function frameOf(width: number, height: number, dated = false): Frame {
  const size = sizeOf(width);
  return { width, height, left: 52, right: 8, top: 10, bottom: dated ? size + 10 : 6 };
}

export function sizeOf(width: number): number {
  return width >= DESK_WIDTH ? 14 : 16;
}

function placed(x: number, words: string, width: number, size: number) {
  const half = (words.length * size * LETTER) / 2;
  return Math.max(half, Math.min(width - half, x));
}

/** Days named under a panel, and lines upward from them; today as an upright line. */
export function Days(props: PanelProps & { frame: Frame; dated: boolean }) {
  const { course, span, width, frame, dated } = props;
  const { x } = dayScale(span, frame);
  const size = sizeOf(width);
  const room = "28 Sept".length * size * LETTER + size;
  const floor = frame.height - frame.bottom;
  const now = !course.whole && within(span, course.until) ? x(course.until) : null;
  const days = namedDays(span, room, x);
  return (
    <>
      {days.map((day) => (
        <path key={day} class="c-grid" d={`M${x(day)} ${frame.top}V${floor}`} />
      ))}
      {now !== null && <path class="c-now" d={`M${now} ${frame.top - 4}V${floor}`} />}
      {dated &&
        days.map((day) => {
          const words = dayWords(day, true);
          return (
            <text
              key={day}
              class="c-text"
              style={{ fontSize: `${size}px` }}
              x={placed(x(day), words, width, size)}
              y={frame.height - 4}
              text-anchor="middle"
            >
              {words}
            </text>
          );
        })}
    </>
  );
}

/** A word at the left edge, at a height. */
export function EdgeWord(props: { y: number; size: number; children: ComponentChildren }) {
  return (
    <text
      class="c-text"
      style={{ fontSize: `${props.size}px` }}
      x="0"
      y={props.y + props.size * 0.35}
    >
      {props.children}
    </text>
  );
}

/** One panel: its name in words above, its drawing, and what the drawing says for who cannot see it. */
export function Panel(props: {
  title: string;
  legend?: string;
  label: string;
  frame: Frame;
  children: ComponentChildren;
}) {
  const { frame } = props;
  return (
    <div class="course__panel">
      <p class="course__name">
        <b>{props.title}</b>
        {props.legend && <span class="small soft"> {props.legend}</span>}
      </p>
      <svg
        class="fig"
        viewBox={`0 0 ${frame.width} ${frame.height}`}
        role="img"
        aria-label={`${props.title}. ${props.label}`}
      >
        {props.children}
      </svg>
    </div>
  );
}

/** "from 3 August to 28 September". */
export function spanWords({ from, to }: Span): string {
  return t("app.course.span", { from: dayWords(from, true), to: dayWords(to, true) });
}
