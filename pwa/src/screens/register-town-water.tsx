/** The town's settings the water forecast needs: where it lies, its forecast, and its crew days. */

import type { SettingsPatch } from "../actions/register";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { CheckRow } from "../components/pick-row";
import type { Problem, RegisterSettings } from "../domain/planter";
import { addDays } from "../domain/water";
import { t, weekday } from "../i18n";
import { wrongAt } from "./use-register";

export interface TownWater {
  latitude: string;
  elevation_m: string;
  weather_url: string;
  /** In percent. */
  run_dry_risk: string;
  crew_days: number[];
}

/** Any Monday, to name the days of the week from. */
const MONDAY = "2026-05-04";
const DAYS = ["0", "1", "2", "3", "4", "5", "6"] as const;

const shown = (value: number | null | undefined) => (value == null ? "" : String(value));
const numberOrNull = (typed: string) => (typed.trim() === "" ? null : Number(typed));

export function townWaterOf(was: RegisterSettings): TownWater {
  const risk = was.run_dry_risk;
  return {
    latitude: shown(was.latitude),
    elevation_m: shown(was.elevation_m),
    weather_url: was.weather_url ?? "",
    run_dry_risk: risk == null ? "" : String(Math.round(risk * 1000) / 10),
    crew_days: was.crew_days ?? [],
  };
}

export function townWaterFrom(form: TownWater): SettingsPatch {
  const risk = numberOrNull(form.run_dry_risk);
  return {
    latitude: numberOrNull(form.latitude),
    elevation_m: numberOrNull(form.elevation_m),
    weather_url: form.weather_url.trim() || null,
    crew_days: form.crew_days,
    ...(risk === null ? {} : { run_dry_risk: risk / 100 }),
  };
}

interface FieldsProps {
  form: TownWater;
  onChange: (change: Partial<TownWater>) => void;
  problem: Problem | null;
}

type Typed = Exclude<keyof TownWater, "crew_days">;

export function TownWaterFields({ form, onChange, problem }: FieldsProps) {
  const typed = (key: Typed, hint: string, more: object) => (
    <Field label={t(`app.town.${key}`)} hint={hint} wrong={wrongAt(problem, `/${key}`)}>
      <input
        value={form[key]}
        onInput={(e) => onChange({ [key]: e.currentTarget.value })}
        {...more}
      />
    </Field>
  );
  const number = { type: "number", step: "any" };
  return (
    <>
      <h3>{t("app.town.water_title")}</h3>
      <div class="form">
        {typed("latitude", t("app.town.latitude_hint"), { ...number, min: -66, max: 66 })}
        {typed("elevation_m", t("app.town.elevation_hint"), number)}
        {typed("run_dry_risk", t("app.town.run_dry_risk_hint"), { ...number, min: 1, max: 50 })}
        {typed("weather_url", t("app.town.weather_url_hint"), { type: "url", maxLength: 2000 })}
      </div>
      {form.weather_url && <Caution>{t("app.town.weather_url_caution")}</Caution>}
      <CheckRow
        legend={t("app.town.crew_days")}
        values={DAYS.filter((day) => form.crew_days.includes(Number(day)))}
        onChange={(days) => onChange({ crew_days: days.map(Number).sort() })}
        choices={DAYS.map((value) => ({ value, word: weekday(addDays(MONDAY, Number(value))) }))}
      />
      <p class="small soft">{t("app.town.crew_days_hint")}</p>
    </>
  );
}
