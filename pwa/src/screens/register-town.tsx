import { useState } from "preact/hooks";
import { changeSettings } from "../actions/register";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t } from "../i18n";
import { TownAlertsFields, townAlertsFrom, townAlertsOf } from "./register-town-alerts";
import { TownWaterFields, townWaterFrom, townWaterOf } from "./register-town-water";
import { type PartProps, worded, wrongAt } from "./use-register";

/** What the coordinator decides for the whole town. */
export function TownSettings({ register, reload }: PartProps) {
  const was = register.settings;
  const [form, setForm] = useState({
    town_name: was.town_name,
    visit_days: String(was.visit_days),
    winter_from: was.winter_from,
    spring_from: was.spring_from,
    tap_flow_l_min: was.tap_flow_l_min === null ? "" : String(was.tap_flow_l_min),
    digest_to: was.digest_to.join(", "),
  });
  const [water, setWater] = useState(townWaterOf(was));
  const [alerts, setAlerts] = useState(townAlertsOf(was));
  const [problem, setProblem] = useState<Problem | null>(null);
  const [kept, setKept] = useState(false);
  const keep = async () => {
    const answer = await changeSettings({
      ...form,
      ...townWaterFrom(water),
      ...townAlertsFrom(alerts),
      visit_days: Number(form.visit_days),
      tap_flow_l_min: form.tap_flow_l_min === "" ? null : Number(form.tap_flow_l_min),
      digest_to: form.digest_to.split(/[,;\s]+/).filter(Boolean),
    });
    setProblem(answer.problem ? worded(answer.problem) : null);
    setKept(Boolean(answer.value));
    if (answer.value) await reload();
  };
  const typed = (key: keyof typeof form, hint: string | undefined, more: object = {}) => (
    <Field label={t(`app.town.${key}`)} hint={hint} wrong={wrongAt(problem, `/${key}`)}>
      <input
        value={form[key]}
        onInput={(e) => {
          setKept(false);
          setForm({ ...form, [key]: e.currentTarget.value });
        }}
        {...more}
      />
    </Field>
  );
  return (
    <section class="stack">
      <h2>{t("app.town.title")}</h2>
      <div class="form">
        {typed("town_name", undefined, { maxLength: 80 })}
        {typed("visit_days", t("app.town.visit_days_hint"), { type: "number", min: 1, max: 60 })}
        {typed("winter_from", t("app.town.month_day"), { placeholder: "10-01" })}
        {typed("spring_from", t("app.town.month_day"), { placeholder: "04-01" })}
        {typed("tap_flow_l_min", t("app.town.tap_flow_hint"), { inputMode: "decimal" })}
        {typed("digest_to", t("app.town.digest_hint"), { inputMode: "email", autocomplete: "off" })}
      </div>
      <TownWaterFields
        form={water}
        problem={problem}
        onChange={(change) => {
          setKept(false);
          setWater({ ...water, ...change });
        }}
      />
      <TownAlertsFields
        form={alerts}
        problem={problem}
        onChange={(change) => {
          setKept(false);
          setAlerts({ ...alerts, ...change });
        }}
      />
      {problem && <ProblemNote problem={problem} />}
      {kept && <p role="status">{t("app.register.kept")}</p>}
      <button type="button" class="act" onClick={() => void keep()}>
        {t("app.register.keep")}
      </button>
    </section>
  );
}
