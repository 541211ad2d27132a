import type { ComponentChildren } from "preact";
import type { Visit } from "../domain/planter";
import { since, t, when } from "../i18n";
import { visitWords } from "./wording";

export interface VisitLineProps {
  visit: Visit;
  /** This phone's own record, not confirmed yet: dashed. */
  unsent?: boolean;
  /** Pictures, and what its author may do. */
  children?: ComponentChildren;
}

/** One visit: when, who, what was found and done. */
export function VisitLine({ visit, unsent = false, children }: VisitLineProps) {
  return (
    <li class={unsent ? "visit--unsent" : undefined}>
      <p class="visit__head">
        <b>{when(visit.at)}</b>
        <span>{visit.by}</span>
        <span class="small soft">{since(visit.at)}</span>
        {unsent && <span class="unsent">{t("app.record_state.not_sent")}</span>}
      </p>
      <p>{visitWords(visit)}</p>
      {visit.note && <p class="small">{t("app.visit.note", { note: visit.note })}</p>}
      {visit.time_uncertain && <p class="small soft">{t("app.visit.time_uncertain")}</p>}
      {visit.corrected && <p class="small soft">{t("app.visit.corrected")}</p>}
      {children}
    </li>
  );
}
