import { dayWords, t, temperature, tn } from "../i18n";
import { Icon } from "./icons";

export interface FreezeStripProps {
  /** The day of the first freeze, and how many nights are left to it. */
  date: string | null;
  nights: number | null;
  low_c: number | null;
  source: string | null;
}

const SOURCE = {
  "site date": "app.freeze.by_site",
  "freeze odds": "app.freeze.by_odds",
  "typed forecast": "app.freeze.by_forecast",
  "recorded low": "app.freeze.by_record",
} as const;

/** Nights to the freeze in words: the one place where frost's colour appears. */
export function FreezeStrip({ date, nights, low_c, source }: FreezeStripProps) {
  const came = nights !== null && nights < 0;
  const head =
    nights === null
      ? t("app.freeze.unknown")
      : came
        ? t(source === "recorded low" ? "app.freeze.came" : "app.freeze.due")
        : nights === 0
          ? t("app.freeze.tonight")
          : tn("app.freeze.nights", nights);
  const ground = SOURCE[source as keyof typeof SOURCE];
  const parts = date
    ? [
        t("app.freeze.night_to", { day: dayWords(date) }),
        low_c === null ? "" : temperature(low_c),
        ground ? t(ground) : "",
      ]
    : [t("app.freeze.unknown_do")];
  return (
    <section class="freeze" aria-label={t("app.freeze.legend")}>
      <Icon name="frost" />
      <p>
        <b>{head}</b>
        <br />
        <span class="small">{parts.filter(Boolean).join(", ")}</span>
      </p>
      <a class="btn push" href="/freeze">
        {t("app.freeze.dates")}
      </a>
    </section>
  );
}
