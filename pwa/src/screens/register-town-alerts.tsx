/** What the coordinator decides about alerts on phones, and how early a freeze is told. */

import { Field } from "../components/field";
import { PickRow } from "../components/pick-row";
import type { Problem, Register } from "../domain/planter";
import { t } from "../i18n";
import { wrongAt } from "./use-register";

export interface TownAlertsForm {
  freeze_nights: string;
  push_on: boolean;
  push_quiet_from: string;
  push_quiet_to: string;
}

/** The form as the town has it. */
export function townAlertsOf(was: Register["settings"]): TownAlertsForm {
  return {
    freeze_nights: String(was.freeze_nights),
    push_on: was.push_on,
    push_quiet_from: was.push_quiet_from ?? "",
    push_quiet_to: was.push_quiet_to ?? "",
  };
}

/** What is sent: an empty time is no quiet hours. */
export function townAlertsFrom(form: TownAlertsForm) {
  return {
    freeze_nights: Number(form.freeze_nights),
    push_on: form.push_on,
    push_quiet_from: form.push_quiet_from || null,
    push_quiet_to: form.push_quiet_to || null,
  };
}

/** The fields. */
export function TownAlertsFields(props: {
  form: TownAlertsForm;
  problem: Problem | null;
  onChange: (change: Partial<TownAlertsForm>) => void;
}) {
  const { form, problem, onChange } = props;
  const typed = (key: Exclude<keyof TownAlertsForm, "push_on">, more: object) => (
    <Field
      label={t(`app.town.${key}`)}
      hint={t(`app.town.${key}_hint`)}
      wrong={wrongAt(problem, `/${key}`)}
    >
      <input
        value={form[key]}
        onInput={(event) => onChange({ [key]: event.currentTarget.value })}
        {...more}
      />
    </Field>
  );
  return (
    <>
      <h3>{t("app.town.alerts_title")}</h3>
      <div class="form">
        {typed("freeze_nights", { type: "number", min: 1, max: 7 })}
        <PickRow
          legend={t("app.town.push_on")}
          choices={[
            { value: "no", word: t("app.town.push_no") },
            { value: "yes", word: t("app.town.push_yes") },
          ]}
          value={form.push_on ? "yes" : "no"}
          onPick={(value) => onChange({ push_on: value === "yes" })}
        />
        {typed("push_quiet_from", { type: "time" })}
        {typed("push_quiet_to", { type: "time" })}
      </div>
      <p class="small soft">{t("app.town.push_on_hint")}</p>
    </>
  );
}
