import { useState } from "preact/hooks";
import { changeSettings, type SettingsPatch } from "../actions/register";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { Problem, RegisterSettings } from "../domain/planter";
import { litresFrom, litresTyped, t, volumeUnit } from "../i18n";
import { FeedCalculator } from "./register-feed-dose";
import { type PartProps, worded, wrongAt } from "./use-register";

const shown = (value: number | null | undefined) => (value == null ? "" : String(value));

/** What was typed as a figure, a comma or a point in it; nothing is null. */
function figure(typed: string): number | null {
  const text = typed.trim().replace(",", ".");
  return text === "" ? null : Number(text);
}

function formOf(was: RegisterSettings) {
  return {
    feed_days: shown(was.feed_days),
    feed_what: was.feed_what ?? "",
    feed_percent_n: shown(was.feed_percent_n),
    feed_ppm_n: shown(was.feed_ppm_n),
    feed_can_l: was.feed_can_l == null ? "" : String(litresTyped(was.feed_can_l)),
    feed_ec_ms: shown(was.feed_ec_ms),
    tap_ec_ms: shown(was.tap_ec_ms),
  };
}

type Form = ReturnType<typeof formOf>;

function patchFrom(form: Form): SettingsPatch {
  const can = figure(form.feed_can_l);
  return {
    feed_days: figure(form.feed_days),
    feed_what: form.feed_what.trim() || null,
    feed_percent_n: figure(form.feed_percent_n),
    feed_ppm_n: figure(form.feed_ppm_n),
    feed_can_l: can === null ? null : litresFrom(can),
    feed_ec_ms: figure(form.feed_ec_ms),
    tap_ec_ms: figure(form.tap_ec_ms),
  };
}

/** The town's standing feed: volunteers get it as ready-made doses on their phones. */
function Standing({ register, reload }: PartProps) {
  const [form, setForm] = useState(formOf(register.settings));
  const [problem, setProblem] = useState<Problem | null>(null);
  const [kept, setKept] = useState(false);
  const keep = async () => {
    const answer = await changeSettings(patchFrom(form));
    setProblem(answer.problem ? worded(answer.problem) : null);
    setKept(Boolean(answer.value));
    if (answer.value) await reload();
  };
  const typed = (key: keyof Form, hint?: string, text = false) => (
    <Field
      label={t(`app.feed_town.${key}`, { unit: volumeUnit() })}
      hint={hint}
      wrong={wrongAt(problem, `/${key}`)}
    >
      <input
        value={form[key]}
        maxLength={80}
        inputMode={text ? "text" : "decimal"}
        onInput={(event) => {
          setKept(false);
          setForm({ ...form, [key]: event.currentTarget.value });
        }}
      />
    </Field>
  );
  return (
    <section class="slab stack">
      <h3>{t("app.feed_town.title")}</h3>
      <Caution bare>{t("app.feed.label_first")}</Caution>
      <div class="form">
        {typed("feed_days", t("app.feed_town.feed_days_hint"))}
        {typed("feed_what", undefined, true)}
        {typed("feed_percent_n", t("app.feed_town.percent_hint"))}
        {typed("feed_ppm_n", t("app.feed_town.ppm_hint"))}
        {typed("feed_can_l")}
        {typed("feed_ec_ms", t("app.feed_town.feed_ec_hint"))}
        {typed("tap_ec_ms", t("app.feed_town.tap_ec_hint"))}
      </div>
      {problem && <ProblemNote problem={problem} />}
      {kept && <p role="status">{t("app.register.kept")}</p>}
      <button type="button" class="act" onClick={() => void keep()}>
        {t("app.register.keep")}
      </button>
    </section>
  );
}

/** Feed for the whole town, and a calculator for any other. */
export function FeedPart(props: PartProps) {
  return (
    <section class="stack stack--wide">
      <h2>{t("app.register.part_feed")}</h2>
      <Standing {...props} />
      <FeedCalculator settings={props.register.settings} />
    </section>
  );
}
