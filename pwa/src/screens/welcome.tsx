/** The first screen after joining: what happens now, the home screen, and what to mind. */

import { Kerb } from "../components/kerb";
import { Rim } from "../components/rim";
import { t, tn } from "../i18n";
import { listPlanters } from "../store/planters";
import { readSettings } from "../store/settings";
import { InstallHint } from "./install-hint";
import { useStored } from "./use-stored";

/** Welcomes by name and says when the planters have arrived. */
export function WelcomeScreen() {
  const found = useStored(["settings", "planters"], async () => {
    const [settings, planters] = await Promise.all([readSettings(), listPlanters()]);
    return { name: settings.me?.person.name ?? "", planters: planters.length };
  });
  if (!found) return null;
  return (
    <div class="field">
      <Rim title={t("app.join.welcome", { name: found.name })} />
      <main>
        <p role="status">
          {found.planters ? tn("app.join.here", found.planters) : t("app.join.ready")}
        </p>
        <InstallHint />
        <p class="small soft">{t("app.join.safety")}</p>
      </main>
      <Kerb>
        <a class="act" href="/">
          {t("app.join.go")}
        </a>
      </Kerb>
    </div>
  );
}
