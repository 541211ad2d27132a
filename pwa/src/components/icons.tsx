import type { ComponentChildren } from "preact";

/** Our own set: 24 px grid, 2.25 px stroke, round ends. Always beside a word, except Back. */
const SHAPES = {
  back: <path d="M15 5l-7 7 7 7" />,
  mark: (
    <>
      <path class="fill" d="M5 3h14l-7 10z" />
      <path d="M1.5 15H22.5M5.5 19.5H18.5M9 23H15" stroke-width="2" />
    </>
  ),
  tag: (
    <>
      <path d="M4 8V4h4M16 4h4v4M20 16v4h-4M8 20H4v-4" />
      <path class="fill" d="M8 8h3.5v3.5H8zM12.5 8H16v3.5h-3.5zM8 12.5h3.5V16H8zM14 14h2v2h-2z" />
    </>
  ),
  camera: (
    <>
      <path d="M3 8h4l2-3h6l2 3h4v11H3z" />
      <circle cx="12" cy="13" r="3.5" />
    </>
  ),
  tray: <path d="M3 14v6h18v-6h-5l-1.5 3h-5L8 14zM12 3v9M8.5 8.5L12 12l3.5-3.5" />,
  up: <path d="M12 20V4M5.5 10.5L12 4l6.5 6.5" />,
  check: <path d="M5 13l4.5 5L19 6" />,
  warn: (
    <>
      <path d="M12 4L2.5 20h19z" />
      <path d="M12 10v4.5M12 17.4v.2" />
    </>
  ),
  plug: <path d="M4 9h7M4 15h7M11 6v12h4V6zM15 9h5v6h-5" />,
  tap: <path d="M3 9h11q4 0 4 5v1M8 9V5M4.5 5h7M3 6v6M16 18.5v2" />,
  weight: <path d="M5 20h14M8 16h8V9H8zM12 6V2M9.5 4L12 2l2.5 2" />,
  frost: (
    <path d="M12 2v20M3.5 7l17 10M20.5 7l-17 10M9.5 3.5L12 6l2.5-2.5M9.5 20.5L12 18l2.5 2.5" />
  ),
  person: (
    <>
      <circle cx="12" cy="7.5" r="3.5" />
      <path d="M5 21q0-8 7-8t7 8" />
    </>
  ),
  timer: (
    <>
      <circle cx="12" cy="14" r="7.5" />
      <path d="M12 10v4l2.5 1.5M10 3h4M12 3v3" />
    </>
  ),
  search: (
    <>
      <circle cx="10.5" cy="10.5" r="6.5" />
      <path d="M15.5 15.5L21 21" />
    </>
  ),
  can: <path d="M4 10h11v10H4zM15 13l6-5M4 10q0-5 5.5-5T15 10M20 6l2.5 3" />,
  no: (
    <>
      <circle cx="12" cy="12" r="8.5" />
      <path d="M6 6l12 12" />
    </>
  ),
  question: (
    <>
      <path d="M8 8.5q0-4.5 4-4.5t4 4q0 2.5-2.5 4-1.5 1-1.5 3" />
      <path d="M12 19.4v.2" />
    </>
  ),
  list: (
    <path d="M4 6l1.5 1.5L8 5M4 12.5L5.5 14 8 11.5M4 19l1.5 1.5L8 18M12 6.5h9M12 13h9M12 19.5h9" />
  ),
  phone: <path d="M7 2.5h10v19H7zM10.5 18h3" />,
  todo: <path d="M12 4v9M12 19.4v.2" stroke-width="3.5" />,
} satisfies Record<string, ComponentChildren>;

export type IconName = keyof typeof SHAPES;

/** One icon; hidden from screen readers, because a word stands beside it. */
export function Icon({ name }: { name: IconName }) {
  return (
    <svg class="icon" viewBox="0 0 24 24" aria-hidden="true">
      {SHAPES[name]}
    </svg>
  );
}
