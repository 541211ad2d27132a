/** What somebody sees who has not joined: what this is, and the ways in. */

import { useLocation } from "preact-iso";
import { CodeField } from "../components/code-field";
import { Kerb } from "../components/kerb";
import { PlanterCut } from "../components/planter-cut";
import { Rim } from "../components/rim";
import { t, tn } from "../i18n";
import { countWaiting } from "../store/outbox";
import { useStored } from "./use-stored";

/** The start page. */
export function StartScreen() {
  const { route } = useLocation();
  const waiting = useStored(["outbox"], () => countWaiting(null));
  return (
    <div class="field">
      <Rim title="Potrounds" />
      <main>
        <figure class="cut cut--small">
          <PlanterCut level={0.7} plants={5} />
        </figure>
        <p>{t("app.start.what")}</p>
        <p>{t("app.start.how")}</p>
        {waiting && waiting.others > 0 && (
          <p class="caution">
            <a href="/outbox">{tn("app.outbox.others", waiting.others)}</a>
          </p>
        )}
        <CodeField
          label={t("app.start.code")}
          open={t("app.start.open")}
          onCode={(code) => route(`/t/${code}`)}
          wrong={() => t("app.tag.bad")}
        />
      </main>
      <Kerb>
        <a class="act" href="/join">
          {t("app.start.join")}
        </a>
        <a class="btn btn--wide" href="/sign-in">
          {t("app.join.coordinator")}
        </a>
      </Kerb>
    </div>
  );
}
