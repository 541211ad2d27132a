import { t } from "../i18n";

/** A volunteer's other ways. A coordinator has the desk's. */
export function FieldWays({ current }: { current?: "siteplan" }) {
  return (
    <nav aria-label={t("app.desk.ways")}>
      <a href="/round">{t("app.planters.round")}</a>
      <a href="/siteplan" aria-current={current === "siteplan" ? "page" : undefined}>
        {t("app.siteplan.title")}
      </a>
      <a href="/winter">{t("app.planters.winter")}</a>
      <a href="/settings">{t("app.planters.settings")}</a>
    </nav>
  );
}
