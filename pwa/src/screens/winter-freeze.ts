/** The day by which drains should be out even where no forecast says so. */

import type { Town } from "../domain/planter";

export interface EarlyDate {
  date: string;
  /** From the record: one autumn in ten has frozen by then. Else the day typed for a site. */
  odds: boolean;
  years: number | null;
  site: string | null;
}

/** The 10 % date of 32 °F where the town has a record, else the earliest day typed for a site. */
export function earlyDate(town: Town): EarlyDate | null {
  const { freeze_odds } = town;
  const date = freeze_odds?.fall.find((one) => one.f === 32)?.p10;
  if (freeze_odds && date) return { date, odds: true, years: freeze_odds.years, site: null };
  const typed = town.sites
    .flatMap((site) => {
      const day = siteFreeze(town, site.freeze_on);
      return day ? [{ date: day, site: site.name }] : [];
    })
    .sort((one, other) => one.date.localeCompare(other.date))[0];
  return typed ? { ...typed, odds: false, years: null } : null;
}

/** A site's expected first freeze within this season; only its month and day matter. */
export function siteFreeze(town: Town, freeze_on: string | null): string | null {
  if (!freeze_on) return null;
  const day = freeze_on.slice(5);
  const later = day >= town.season.spring_from.slice(5);
  return `${later ? town.season.year : town.season.year + 1}-${day}`;
}
