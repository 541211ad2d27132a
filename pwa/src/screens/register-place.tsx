import { useState } from "preact/hooks";
import { addSiting } from "../actions/register";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { Fold } from "../components/fold";
import { Icon } from "../components/icons";
import { PlacePlan } from "../components/place-plan";
import { ProblemNote } from "../components/problem-note";
import type { Problem, RegisterPlanter, Siting } from "../domain/planter";
import { t, when, word } from "../i18n";
import { typedUnits } from "../i18n/measures";
import { type LengthKey, measured, type PlaceForm, placeFormOf, placeFrom } from "./place-form";
import { Things } from "./place-things";
import { Position } from "./register-position";
import { type PartProps, worded, wrongAt } from "./use-register";

type PlaceProps = PartProps & { planter: RegisterPlanter };

const ICONS = { short: "warn", ask: "question", ok: "check" } as const;

/** What was found, each with what it rests on; what falls short first. */
function Findings({ siting }: { siting: Siting }) {
  return (
    <ul class="findings">
      {siting.findings.map((one) => (
        <li key={`${one.code} ${one.sentence}`} class={`finding finding--${one.state}`}>
          <Icon name={ICONS[one.state]} />
          <div>
            <p>
              <b>{word("finding", one.state)}</b> {one.sentence}
            </p>
            <p class="small soft">{one.source}</p>
          </div>
        </li>
      ))}
    </ul>
  );
}

function Found({ planter, siting }: { planter: RegisterPlanter; siting: Siting }) {
  return (
    <section class="stack">
      <h2>{t("app.place.found")}</h2>
      <p class="small soft">
        {t("app.place.measured_by", {
          by: siting.by || t("app.place.somebody"),
          when: when(siting.at),
        })}
      </p>
      <PlacePlan siting={siting} shape={planter.shape} />
      <Findings siting={siting} />
    </section>
  );
}

interface FieldsProps {
  form: PlaceForm;
  problem: Problem | null;
  onChange: (change: Partial<PlaceForm>) => void;
}

/** Lengths in the chosen unit; the first six are what the plan is drawn from. */
function Lengths({ form, problem, onChange }: FieldsProps) {
  const unit = typedUnits().length;
  const typed = (key: LengthKey) => (
    <Field
      label={t(`app.place.${key}`, { unit })}
      wrong={wrongAt(problem, `/${key}`)}
      hint={t(`app.place.${key}_hint`)}
    >
      <input
        type="number"
        inputMode="decimal"
        step="any"
        value={form[key]}
        onInput={(e) => onChange({ [key]: e.currentTarget.value })}
      />
    </Field>
  );
  return (
    <>
      <div class="form">
        {typed("path_cm")}
        {typed("from_kerb_cm")}
        {typed("width_cm")}
        {typed("length_cm")}
        {typed("rim_cm")}
        {typed("canopy_cm")}
        {typed("plants_cm")}
        {typed("trailing_cm")}
        <Field
          label={t("app.place.slope_percent")}
          hint={t("app.place.slope_percent_hint")}
          wrong={wrongAt(problem, "/slope_percent")}
        >
          <input
            type="number"
            inputMode="decimal"
            step="any"
            value={form.slope_percent}
            onInput={(e) => onChange({ slope_percent: e.currentTarget.value })}
          />
        </Field>
      </div>
      <Things form={form} problem={problem} onChange={onChange} />
      <Fold summary={t("app.place.local_code")}>
        <p>{t("app.place.local_code_says")}</p>
        <div class="form">
          {typed("needed_cm")}
          {typed("sight_leg_cm")}
          {typed("sight_height_cm")}
        </div>
      </Fold>
    </>
  );
}

/** The measuring: kept with who and when; what looks like a wrong unit is asked back first. */
function Measure({ planter, reload }: Pick<PlaceProps, "planter" | "reload">) {
  const [form, setForm] = useState(() => placeFormOf(planter));
  const [problem, setProblem] = useState<Problem | null>(null);
  const [kept, setKept] = useState(false);
  const asked = problem?.type === "/problems/siting-question";
  const keep = async (sure: boolean) => {
    const answer = await addSiting(planter.id, planter.version, placeFrom(form, sure));
    setProblem(answer.problem ? worded(answer.problem) : null);
    setKept(Boolean(answer.value));
    if (answer.value || answer.problem?.status === 412) await reload();
  };
  return (
    <section class="stack">
      <h2>{t("app.place.measure")}</h2>
      <Caution>{t("app.place.caution")}</Caution>
      <Lengths
        form={form}
        problem={problem}
        onChange={(change) => {
          setKept(false);
          setForm({ ...form, ...change });
        }}
      />
      {problem && (
        <ProblemNote problem={problem}>
          {asked && (
            <button type="button" class="btn" onClick={() => void keep(true)}>
              {t("app.place.sure")}
            </button>
          )}
        </ProblemNote>
      )}
      {kept && <p role="status">{t("app.place.kept")}</p>}
      <button type="button" class="act" disabled={!measured(form)} onClick={() => void keep(false)}>
        {t("app.place.keep")}
      </button>
    </section>
  );
}

/** Where a planter stands: its position, what is around it, and what follows from that. */
export function WhereItStands({ planter, register, reload }: PlaceProps) {
  return (
    <div class="stack stack--wide">
      <div class="sheet__head">
        <h2>{t("app.place.title", { planter: planter.name })}</h2>
        <a class="btn" href={`/register?planter=${planter.id}`}>
          {t("app.place.sheet")}
        </a>
      </div>
      {planter.siting ? (
        <Found planter={planter} siting={planter.siting} />
      ) : (
        <p>{t("app.place.nobody_yet")}</p>
      )}
      <Measure planter={planter} reload={reload} />
      <Position planter={planter} register={register} reload={reload} />
    </div>
  );
}
