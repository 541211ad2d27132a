import { word } from "../i18n";
import { Icon, type IconName } from "./icons";

export type RecordState = "kept" | "sending" | "sent" | "need";

const ICON: Record<RecordState, IconName> = {
  kept: "tray",
  sending: "up",
  sent: "check",
  need: "warn",
};

/** A record's state by shape: dashed tray, arrow, solid check, warning. A word stands beside it. */
export function StateShape({ state, icon }: { state: RecordState; icon?: IconName }) {
  return (
    <span class={`state state--${state}`}>
      <Icon name={icon ?? ICON[state]} />
    </span>
  );
}

/** A record's state in one line: shape and word. */
export function StateMark({ state, words }: { state: RecordState; words?: string }) {
  return (
    <span class="state-mark">
      <StateShape state={state} />
      {words ?? word("record_state", state)}
    </span>
  );
}
