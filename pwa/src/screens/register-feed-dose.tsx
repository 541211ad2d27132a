import { useState } from "preact/hooks";
import { workOutFeed } from "../actions/care";
import { Facts } from "../components/facts";
import { Field } from "../components/field";
import { PickRow } from "../components/pick-row";
import { ProblemNote } from "../components/problem-note";
import type { FeedAnswer, FeedQuestion, Problem, RegisterSettings } from "../domain/planter";
import { litresFrom, litresTyped, number, t, volume, volumeUnit } from "../i18n";
import { worded, wrongAt } from "./use-register";

type Way = "rate" | "dose";
type Unit = NonNullable<FeedQuestion["dose"]>["unit"];

const CUTS = ["0", "30", "40", "50"] as const;
const UNITS: Unit[] = ["g_can", "oz_can", "g_l", "oz_100_gal", "ml_can", "fl_oz_can"];
const NBSP = "\u00a0";

interface DoseForm {
  way: Way;
  percent_n: string;
  ppm_n: string;
  amount: string;
  unit: Unit;
  cut: (typeof CUTS)[number];
  can: string;
  injector: string;
  density: string;
}

function startingForm(settings: RegisterSettings): DoseForm {
  const can = settings.feed_can_l ?? litresFrom(volumeUnit() === "gal" ? 5 : 10);
  return {
    way: "rate",
    percent_n: settings.feed_percent_n == null ? "" : String(settings.feed_percent_n),
    ppm_n: "200",
    amount: "",
    unit: volumeUnit() === "gal" ? "oz_can" : "g_can",
    cut: "50",
    can: String(litresTyped(can)),
    injector: "",
    density: "",
  };
}

function figure(typed: string): number | null {
  const text = typed.trim().replace(",", ".");
  return text === "" ? null : Number(text);
}

function questionFrom(form: DoseForm): FeedQuestion {
  const can = figure(form.can);
  const rate = form.way === "rate";
  return {
    // What is missing is sent as it is: the server says what is wrong with it.
    percent_n: figure(form.percent_n) as number,
    ...(rate ? { ppm_n: figure(form.ppm_n), cut_percent: Number(form.cut) } : {}),
    ...(rate ? {} : { dose: { amount: figure(form.amount) as number, unit: form.unit } }),
    can_l: can === null ? null : litresFrom(can),
    injector: figure(form.injector),
    density_kg_l: figure(form.density),
  };
}

function Result({ answer }: { answer: FeedAnswer }) {
  const { can } = answer;
  const weight = `${number(can.grams, 1)}${NBSP}g, ${number(can.ounces, 2)}${NBSP}oz`;
  const measured =
    answer.can_ml !== null &&
    `${number(answer.can_ml, 1)}${NBSP}mL, ${number(answer.can_fluid_ounces ?? 0, 2)}${NBSP}fl${NBSP}oz`;
  return (
    <div role="status" class="stack">
      <p class="mark">{t("app.dose.rate_is", { rate: number(answer.ppm_n) })}</p>
      <Facts
        facts={[
          [t("app.dose.for_can", { can: volume(can.can_l) }), weight],
          [t("app.dose.measured"), measured],
          [t("app.dose.grams_l"), `${number(answer.grams_l, 3)}${NBSP}g/L`],
          [t("app.dose.ounces_100"), `${number(answer.ounces_100_gal, 2)}${NBSP}oz`],
          [
            t("app.dose.stock"),
            answer.stock_grams_l !== null &&
              `${number(answer.stock_grams_l, 1)}${NBSP}g/L, ${number(answer.stock_ounces_gal ?? 0, 2)}${NBSP}oz/gal`,
          ],
        ]}
      />
      <ul class="stack">
        {answer.notes.map((note) => (
          <li key={note}>{note}</li>
        ))}
      </ul>
    </div>
  );
}

interface PartProps {
  form: DoseForm;
  onForm: (change: Partial<DoseForm>) => void;
  problem: Problem | null;
}

/** A figure of the form by its key, its fault beside it. */
function Typed(props: PartProps & { of: keyof DoseForm; at: string; hint?: string }) {
  const { form, onForm, problem, of } = props;
  return (
    <Field
      label={t(`app.dose.${of as "can"}`, { unit: volumeUnit() })}
      hint={props.hint}
      wrong={wrongAt(problem, props.at)}
    >
      <input
        inputMode="decimal"
        value={form[of]}
        onInput={(event) => onForm({ [of]: event.currentTarget.value })}
      />
    </Field>
  );
}

function Asked(props: PartProps) {
  const { form, onForm } = props;
  if (form.way === "rate") {
    return (
      <>
        <Typed {...props} of="ppm_n" at="/ppm_n" hint={t("app.dose.ppm_hint")} />
        <PickRow
          legend={t("app.dose.cut")}
          cols={4}
          value={form.cut}
          onPick={(cut) => onForm({ cut: cut ?? "0" })}
          choices={CUTS.map((value) => ({
            value,
            word: value === "0" ? t("app.dose.cut_none") : `${value}${NBSP}%`,
          }))}
        />
      </>
    );
  }
  return (
    <>
      <Typed {...props} of="amount" at="/dose/amount" />
      <PickRow
        legend={t("app.dose.unit")}
        cols={2}
        value={form.unit}
        onPick={(unit) => unit && onForm({ unit })}
        choices={UNITS.map((value) => ({ value, word: t(`app.dose.unit_${value}`) }))}
      />
    </>
  );
}

/** Rate to dose and dose to rate, for a can, a hundred gallons and an injector. */
export function FeedCalculator({ settings }: { settings: RegisterSettings }) {
  const [form, setForm] = useState(startingForm(settings));
  const [problem, setProblem] = useState<Problem | null>(null);
  const [answer, setAnswer] = useState<FeedAnswer | null>(null);
  const onForm = (change: Partial<DoseForm>) => {
    setForm({ ...form, ...change });
    setAnswer(null);
    setProblem(null);
  };
  const work = async () => {
    const got = await workOutFeed(questionFrom(form));
    setProblem(got.problem ? worded(got.problem) : null);
    setAnswer(got.value ?? null);
  };
  const part = { form, onForm, problem };
  return (
    <section class="slab stack">
      <h3>{t("app.dose.title")}</h3>
      <PickRow
        legend={t("app.dose.way")}
        value={form.way}
        onPick={(way) => way && onForm({ way })}
        choices={[
          { value: "rate", word: t("app.dose.way_rate") },
          { value: "dose", word: t("app.dose.way_dose") },
        ]}
      />
      <div class="form">
        <Typed {...part} of="percent_n" at="/percent_n" hint={t("app.feed_town.percent_hint")} />
        <Typed {...part} of="can" at="/can_l" />
      </div>
      <Asked {...part} />
      <div class="form">
        <Typed {...part} of="injector" at="/injector" hint={t("app.dose.injector_hint")} />
        <Typed {...part} of="density" at="/density_kg_l" hint={t("app.dose.density_hint")} />
      </div>
      {problem && <ProblemNote problem={problem} />}
      <button type="button" class="act" onClick={() => void work()}>
        {t("app.dose.work_out")}
      </button>
      {answer && <Result answer={answer} />}
    </section>
  );
}
