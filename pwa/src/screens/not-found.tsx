/** No such screen. */

import { EmptyState } from "../components/empty-state";
import { Kerb } from "../components/kerb";
import { Rim } from "../components/rim";
import { t } from "../i18n";

export function NotFoundScreen() {
  return (
    <div class="field">
      <Rim title={t("app.not_found.title")} back="/" />
      <main>
        <EmptyState title={t("app.not_found.nothing")}>
          <p>{t("app.not_found.why")}</p>
        </EmptyState>
      </main>
      <Kerb>
        <a class="act" href="/">
          {t("app.not_found.home")}
        </a>
      </Kerb>
    </div>
  );
}
