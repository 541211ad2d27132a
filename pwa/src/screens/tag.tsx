/** A member opened a tag's address: its planter, or words about why there is none. */

import type { VNode } from "preact";
import { EmptyState } from "../components/empty-state";
import { Kerb } from "../components/kerb";
import { Rim } from "../components/rim";
import { display, fold, isValid } from "../domain/tag-code";
import { t } from "../i18n";
import { listPlanters, planterByCode } from "../store/planters";
import { useSignal } from "./use-frame";
import { useStored } from "./use-stored";

export interface TagScreenProps {
  code: string;
  /** Draws the planter once it is found. */
  show: (id: string, replaced: boolean) => VNode;
}

/** The planter of a tag code, as the phone last knew it. */
export function TagScreen({ code, show }: TagScreenProps) {
  const signal = useSignal();
  const found = useStored(
    ["planters"],
    async () => ({ tag: await planterByCode(code), any: (await listPlanters()).length > 0 }),
    [code],
  );
  if (!found) return null;
  if (found.tag) return show(found.tag.card.id, found.tag.replaced);
  const why = !found.any ? "app.tag.not_yet" : isValid(code) ? "app.tag.unknown" : "app.tag.bad";
  return (
    <div class="field">
      <Rim title={t("app.tag.title", { code: display(fold(code)) })} back="/">
        {signal}
      </Rim>
      <main>
        <EmptyState title={t("app.tag.no_planter")}>
          <p>{t(why)}</p>
          <a class="btn" href="/">
            {t("app.scan.list")}
          </a>
        </EmptyState>
      </main>
      <Kerb>
        <a class="act" href="/scan">
          {t("app.tag.scan")}
        </a>
      </Kerb>
    </div>
  );
}
