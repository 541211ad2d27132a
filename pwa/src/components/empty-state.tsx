import type { ComponentChildren } from "preact";
import { Potlet } from "./potlet";

/** Nothing here yet: says why and what to do. */
export function EmptyState(props: {
  title: string;
  /** The screen has no other title. */
  top?: boolean;
  children?: ComponentChildren;
}) {
  return (
    <div class="empty">
      <Potlet kind="level" level={0.5} dashed />
      {props.top ? <h1 class="head">{props.title}</h1> : <h2>{props.title}</h2>}
      {props.children}
    </div>
  );
}
