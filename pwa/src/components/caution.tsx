import type { ComponentChildren } from "preact";
import { Icon, type IconName } from "./icons";

/** Stands at the act that can hurt and ends in something to do. */
export function Caution(props: {
  icon?: IconName;
  /** Without a frame, inside the kerb. */
  bare?: boolean;
  children: ComponentChildren;
}) {
  return (
    <p class={`caution${props.bare ? " caution--bare" : ""}`}>
      <Icon name={props.icon ?? "warn"} />
      <span>{props.children}</span>
    </p>
  );
}
