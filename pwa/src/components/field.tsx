import type { ComponentChildren } from "preact";
import { Icon } from "./icons";

/** A labelled field of a form: what is asked, the control, a hint, and what is wrong with it. */
export function Field(props: {
  label: string;
  hint?: string | undefined;
  wrong?: string | undefined;
  children: ComponentChildren;
}) {
  return (
    <div class="line">
      {/* biome-ignore lint/a11y/noLabelWithoutControl: the control is the child */}
      <label class="line">
        <span>{props.label}</span>
        {props.children}
      </label>
      {props.hint && <p class="line__hint">{props.hint}</p>}
      {props.wrong && (
        <p class="line__wrong" role="alert">
          <Icon name="warn" /> {props.wrong}
        </p>
      )}
    </div>
  );
}
