/** How feed, doses and plantings are said in words. Pure: types and texts only. */

import type { LastFed } from "../domain/feeding";
import type { Dose, PlanterCard } from "../domain/planter";
import { dayAhead, number, since, t, today, volume, volumeUnit } from "../i18n";

const NBSP = "\u00a0";

/** "Fed 3 days ago by Wim, 100 ppm. Next feed from Friday on." `hold` says why it is not due. */
export function fedWords(fed: LastFed, hold?: string | null): string {
  const rate = fed.ppm_n === null ? "" : `, ${number(fed.ppm_n)}${NBSP}ppm`;
  const said = t("app.feed.last", { ago: since(fed.at), by: fed.by, rate });
  if (hold) return `${said} ${hold}`;
  if (!fed.next) return said;
  const day = dayAhead(fed.next);
  return `${said} ${fed.next > today() ? t("app.feed.next_on", { day }) : t("app.feed.next_now")}`;
}

/** Grams, or ounces of weight where gallons are counted. */
export function doseWeight(dose: Dose): string {
  return volumeUnit() === "gal"
    ? `${number(dose.ounces, 2)}${NBSP}oz`
    : `${number(dose.grams, 1)}${NBSP}g`;
}

/** "10 L can: 5 g". */
export function doseWords(dose: Dose): string {
  return t("app.feed.dose", { can: volume(dose.can_l), weight: doseWeight(dose) });
}

/** The cans of this person's units, the town's own first. */
export function dosesShown(doses: readonly Dose[], own: number | null): Dose[] {
  const gallons = volumeUnit() === "gal";
  const whole = (dose: Dose) => {
    const size = gallons ? dose.can_l / 3.785411784 : dose.can_l;
    return Math.abs(size - Math.round(size)) < 1e-6;
  };
  return doses.filter((dose) => dose.can_l === own || whole(dose));
}

type Grown = Pick<NonNullable<PlanterCard["planting"]>, "plants" | "counts">;

/** "6 petunia, sweet potato": counts where somebody counted. */
export function plantsWords({ plants, counts }: Partial<Grown>): string {
  return (plants ?? [])
    .map((name, at) => (counts?.[at] ? `${counts[at]}${NBSP}${name}` : name))
    .join(", ");
}

/** "Water from above by Thursday", or today where that day has come. */
export function aboveWords(day: string): string {
  return day > today()
    ? t("app.establishment.by", { day: dayAhead(day) })
    : t("app.establishment.today");
}
