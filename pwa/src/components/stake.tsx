import type { Urgency } from "../domain/planter";
import { word } from "../i18n";

const SHAPE: Record<Urgency, string> = {
  today: "stake--today",
  "this-week": "stake--week",
  watch: "stake--watch",
};

/** The plant label: urgency by word, then shape, then colour. */
export function Stake({ urgency, small = false }: { urgency: Urgency; small?: boolean }) {
  return (
    <span class={`stake ${SHAPE[urgency]}${small ? " stake--small" : ""}`}>
      {word("urgency", urgency)}
    </span>
  );
}
