/** The fields of a planter's sheet in the register, for a new one and for one that is there. */

import type { NewPlanter } from "../actions/register";
import { Field } from "../components/field";
import { Options } from "../components/options";
import type { Problem, RegisterPlanter, RegisterSite } from "../domain/planter";
import { t, word } from "../i18n";
import { wrongAt } from "./use-register";

export interface PlanterForm {
  name: string;
  site: string;
  size: string;
  shape: string;
  reservoir_l: string;
  gauge: string;
  status: string;
  installed_on: string;
  weight_moist_kg: string;
  weight_full_kg: string;
  mix_l: string;
  top_area_m2: string;
  canopy_m2: string;
  sun: string;
  wind: string;
  /** "yes", "no", or "" for not said. */
  rain_reaches: string;
  notes: string;
}

const SHAPES = ["", "round", "square", "rectangular"];
const GAUGES = ["none", "float", "dipstick", "sight-tube"];
const SUNS = ["full", "part", "shade"];
const WINDS = ["sheltered", "open", "windy"];
const RAIN = ["", "yes", "no"];
const STATUSES = ["in-use", "stored", "retired", "lost"];

export function emptyForm(site: string): PlanterForm {
  return {
    name: "",
    site,
    size: t("app.register.medium"),
    shape: "",
    reservoir_l: "",
    gauge: "none",
    status: "in-use",
    installed_on: "",
    weight_moist_kg: "",
    weight_full_kg: "",
    mix_l: "",
    top_area_m2: "",
    canopy_m2: "",
    sun: "full",
    wind: "open",
    rain_reaches: "",
    notes: "",
  };
}

const shown = (value: number | null | undefined) => (value == null ? "" : String(value));

export function formOf(planter: RegisterPlanter): PlanterForm {
  return {
    name: planter.name,
    site: planter.site,
    size: planter.size,
    shape: planter.shape ?? "",
    reservoir_l: String(planter.reservoir_l),
    gauge: planter.gauge,
    status: planter.status,
    installed_on: planter.installed_on ?? "",
    weight_moist_kg: shown(planter.weight_moist_kg),
    weight_full_kg: shown(planter.weight_full_kg),
    mix_l: shown(planter.mix_l),
    top_area_m2: shown(planter.top_area_m2),
    canopy_m2: shown(planter.canopy_m2),
    sun: planter.sun ?? "full",
    wind: planter.wind ?? "open",
    rain_reaches: planter.rain_reaches == null ? "" : planter.rain_reaches ? "yes" : "no",
    notes: planter.notes,
  };
}

/** What was typed here stays; every other field takes what is in the register now. */
export function merged(mine: PlanterForm, base: PlanterForm, now: PlanterForm): PlanterForm {
  const keys = Object.keys(now) as (keyof PlanterForm)[];
  return Object.fromEntries(
    keys.map((key) => [key, mine[key] === base[key] ? now[key] : mine[key]]),
  ) as unknown as PlanterForm;
}

const numberOrNull = (typed: string) => (typed.trim() === "" ? null : Number(typed));

/** The form as the server takes it. What is not a number stays one the server refuses by name. */
export function planterFrom(form: PlanterForm): NewPlanter {
  return {
    name: form.name.trim(),
    site: form.site,
    size: form.size.trim(),
    shape: (form.shape || null) as NewPlanter["shape"] & (string | null),
    reservoir_l: Number(form.reservoir_l),
    gauge: form.gauge as "none",
    status: form.status as "in-use",
    installed_on: form.installed_on || null,
    weight_moist_kg: numberOrNull(form.weight_moist_kg),
    weight_full_kg: numberOrNull(form.weight_full_kg),
    mix_l: numberOrNull(form.mix_l),
    top_area_m2: numberOrNull(form.top_area_m2),
    canopy_m2: numberOrNull(form.canopy_m2),
    sun: form.sun as "full",
    wind: form.wind as "open",
    rain_reaches: form.rain_reaches === "" ? null : form.rain_reaches === "yes",
    notes: form.notes.trim(),
  };
}

interface FieldsProps {
  form: PlanterForm;
  sites: RegisterSite[];
  onChange: (change: Partial<PlanterForm>) => void;
  problem: Problem | null;
  /** Where this planter stands in the request, e.g. "/planters/0". */
  pointer: string;
}

/** All fields, litres and kilograms as they stand on the maker's plate. */
export function PlanterFields({ form, sites, onChange, problem, pointer }: FieldsProps) {
  const wrong = (key: string) => wrongAt(problem, `${pointer}/${key}`);
  const typed = (key: keyof PlanterForm, more: object = {}) => (
    <Field label={t(`app.register.${key}`)} wrong={wrong(key)}>
      <input
        value={form[key]}
        onInput={(e) => onChange({ [key]: e.currentTarget.value })}
        {...more}
      />
    </Field>
  );
  const chosen = (key: keyof PlanterForm, group: string, values: string[]) => (
    <Field label={t(`app.register.${key}` as "app.register.shape")} wrong={wrong(key)}>
      <select value={form[key]} onChange={(e) => onChange({ [key]: e.currentTarget.value })}>
        {values.map((value) => (
          <option key={value} value={value}>
            {value ? word(group, value) : t("app.register.not_said")}
          </option>
        ))}
      </select>
    </Field>
  );
  const number = { inputMode: "decimal", type: "number", step: "any", min: 0 };
  return (
    <div class="form">
      {typed("name", { maxLength: 80 })}
      <Field label={t("app.register.site")} wrong={wrong("site")}>
        <select value={form.site} onChange={(e) => onChange({ site: e.currentTarget.value })}>
          <Options of={sites} />
        </select>
      </Field>
      {typed("size", { maxLength: 40 })}
      {chosen("shape", "shape", SHAPES)}
      {typed("reservoir_l", number)}
      {chosen("gauge", "gauge", GAUGES)}
      {chosen("status", "status", STATUSES)}
      {typed("installed_on", { type: "date" })}
      {typed("weight_moist_kg", number)}
      {typed("weight_full_kg", number)}
      {typed("mix_l", number)}
      {typed("top_area_m2", number)}
      {typed("canopy_m2", number)}
      {chosen("sun", "sun", SUNS)}
      {chosen("wind", "wind", WINDS)}
      {chosen("rain_reaches", "yes_no", RAIN)}
      {typed("notes", { maxLength: 2000 })}
    </div>
  );
}
