/** Where a planter was and what became of it, as the register's changes tell it. */

import type { PlanterCard } from "../domain/planter";
import type { PlanterChange } from "../domain/planting";
import { display } from "../domain/tag-code";
import { dayOf, dayWords, t, word } from "../i18n";

/** What became of a planter, in words. */
export function changeWords({ what, old, new: now }: PlanterChange): string {
  const from = old ?? "–";
  const to = now ?? "–";
  switch (what) {
    case "site":
      return t("app.history.site", { old: from, new: to });
    case "status":
      return t("app.history.status", {
        old: word("status", from).toLowerCase(),
        new: word("status", to).toLowerCase(),
      });
    case "code":
      return t("app.history.code", { new: display(to) });
    default:
      return t(`app.history.${what}`, { old: from, new: to });
  }
}

/** A line a change, newest first. A card kept from an older server has none. */
export function PlanterHistory({ card }: { card: PlanterCard }) {
  const history = (card as Partial<PlanterCard>).history ?? [];
  if (!history.length) return null;
  return (
    <section class="stack">
      <h2>{t("app.history.title")}</h2>
      <ul class="stack stack--close">
        {history.map((change) => (
          <li key={`${change.at} ${change.what}`}>
            {changeWords(change)}{" "}
            <span class="small soft">
              {t("app.history.by", {
                day: `${dayWords(dayOf(change.at), true)} ${dayOf(change.at).slice(0, 4)}`,
                by: change.by,
              })}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
