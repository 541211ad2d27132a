import type { ComponentChildren } from "preact";

/** Says what is set; a tap opens the choices. */
export function Fold(props: {
  summary: ComponentChildren;
  open?: boolean;
  children: ComponentChildren;
}) {
  return (
    <details class="fold" open={props.open}>
      <summary>{props.summary}</summary>
      <div>{props.children}</div>
    </details>
  );
}
