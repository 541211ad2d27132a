import { useState } from "preact/hooks";
import { dropSize, putSize, type SizeBody } from "../actions/plan";
import { Field } from "../components/field";
import { CheckRow } from "../components/pick-row";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import type { PlanterSize } from "../domain/planting";
import { litresFrom, litresTyped, t, tn, volumeUnit, word } from "../i18n";
import { length, measureFrom, measureTyped, room, typedUnits } from "../i18n/measures";
import { RemoveButton } from "./remove-button";
import type { PlanPartProps } from "./use-plan";
import { worded, wrongAt } from "./use-register";

const SHAPES = ["round", "square", "rectangular"] as const;
const LENGTHS = [
  "top_a_cm",
  "top_b_cm",
  "bottom_a_cm",
  "bottom_b_cm",
  "depth_cm",
  "gap_cm",
] as const;
type Length = (typeof LENGTHS)[number];
type Form = Record<Length | "name" | "shape" | "empty_kg" | "reservoir_l", string>;

function formOf(size: PlanterSize | null): Form {
  return {
    name: size?.name ?? "",
    shape: size?.shape ?? "round",
    ...(Object.fromEntries(
      LENGTHS.map((key) => [key, measureTyped("length", size?.[key])]),
    ) as Record<Length, string>),
    empty_kg: measureTyped("weight", size?.empty_kg),
    reservoir_l: size ? String(litresTyped(size.reservoir_l)) : "",
  };
}

function sizeFrom(form: Form, again: boolean, was: PlanterSize | null): SizeBody {
  const cm = (key: Length) => measureFrom("length", form[key], was?.[key]);
  const same = was !== null && form.reservoir_l === formOf(was).reservoir_l;
  const wide = form.shape === "rectangular";
  return {
    name: form.name.trim(),
    shape: form.shape as "round",
    top_a_cm: cm("top_a_cm") as number,
    top_b_cm: wide ? cm("top_b_cm") : null,
    bottom_a_cm: cm("bottom_a_cm") as number,
    bottom_b_cm: wide ? cm("bottom_b_cm") : null,
    depth_cm: cm("depth_cm") as number,
    gap_cm: cm("gap_cm"),
    empty_kg: measureFrom("weight", form.empty_kg, was?.empty_kg),
    reservoir_l: same ? was.reservoir_l : litresFrom(Number(form.reservoir_l)),
    measured_again: again,
  };
}

/** The word for a measure: a round planter has a diameter, a square one a side. */
function labelOf(key: Length, shape: string): string {
  const unit = typedUnits().length;
  const across = key === "top_a_cm" || key === "bottom_a_cm";
  return t(`app.sizes.${across ? `${key}_${shape as "round"}` : key}` as "app.sizes.depth_cm", {
    unit,
  });
}

/** A size's measures. What looks unlikely is asked; then only a box says that it is so. */
function SizeForm(props: {
  size: PlanterSize | null;
  onDone: () => Promise<void>;
  onStale: () => Promise<void>;
}) {
  const { size, onDone, onStale } = props;
  const [form, setForm] = useState(formOf(size));
  const [again, setAgain] = useState(size?.measured_again ?? false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const asked = problem?.type === "/problems/size-questioned" || size?.measured_again;
  const keep = async () => {
    const answer = await putSize(sizeFrom(form, again, size), size);
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) await onDone();
    if (answer.problem?.status === 412) await onStale();
  };
  const typed = (key: keyof Form, label: string, more: object = {}) => (
    <Field key={key} label={label} wrong={wrongAt(problem, `/${key}`)}>
      <input
        value={form[key]}
        onInput={(e) => setForm({ ...form, [key]: e.currentTarget.value })}
        {...more}
      />
    </Field>
  );
  const figure = { type: "number", step: "any", min: 0, inputMode: "decimal" };
  const wide = form.shape === "rectangular";
  return (
    <div class="slab stack">
      <h3>{size ? t("app.sizes.change", { name: size.name }) : t("app.sizes.add")}</h3>
      <div class="form">
        {typed("name", t("app.sizes.name"), { maxLength: 40 })}
        <Field label={t("app.register.shape")} wrong={wrongAt(problem, "/shape")}>
          <select
            value={form.shape}
            onChange={(e) => setForm({ ...form, shape: e.currentTarget.value })}
          >
            {SHAPES.map((shape) => (
              <option key={shape} value={shape}>
                {word("shape", shape)}
              </option>
            ))}
          </select>
        </Field>
        {LENGTHS.filter((key) => wide || !key.includes("_b_")).map((key) =>
          typed(key, labelOf(key, form.shape), figure),
        )}
        {typed("reservoir_l", t("app.sizes.reservoir_l", { unit: volumeUnit() }), figure)}
        {typed("empty_kg", t("app.sizes.empty_kg", { unit: typedUnits().weight }), figure)}
      </div>
      {problem && <ProblemNote problem={problem} />}
      {asked && (
        <CheckRow
          legend={t("app.sizes.sure")}
          cols={1}
          choices={[{ value: "again", word: t("app.sizes.measured_again") }]}
          values={again ? ["again"] : []}
          onChange={(values) => setAgain(values.length > 0)}
        />
      )}
      <button type="button" class="btn" disabled={!form.name.trim()} onClick={() => void keep()}>
        {t("app.register.keep")}
      </button>
    </div>
  );
}

function measures(size: PlanterSize): string {
  const face = (a: number, b: number | null) =>
    b === null ? length(a) : `${length(a)} × ${length(b)}`;
  return t("app.sizes.measures", {
    top: face(size.top_a_cm, size.top_b_cm),
    bottom: face(size.bottom_a_cm, size.bottom_b_cm),
    depth: length(size.depth_cm),
  });
}

/** Sizes of planters by their inner measures: the mix they take is worked out, not typed. */
export function Sizes({ plan, register, reload }: PlanPartProps) {
  const [open, setOpen] = useState<string | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const count = (size: PlanterSize) =>
    register.planters.filter(
      (one) =>
        one.size.toLowerCase() === size.name.toLowerCase() &&
        (one.shape === size.shape || one.shape === null),
    ).length;
  const done = async () => {
    setOpen(null);
    await reload();
  };
  const drop = async (size: PlanterSize) => {
    const answer = await dropSize(size.id);
    setProblem(answer.problem ? worded(answer.problem) : null);
    await done();
  };
  return (
    <section class="stack">
      <h2>{t("app.register.part_sizes")}</h2>
      <p>{t("app.sizes.why")}</p>
      {problem && <ProblemNote problem={problem} />}
      <ul class="stack">
        {plan.sizes.map((size) => (
          <li key={size.id} class="stack stack--close plan__row">
            <div class="sheet__head">
              <h3>{`${size.name}, ${word("shape", size.shape).toLowerCase()}`}</h3>
              <button
                type="button"
                class="btn"
                aria-expanded={open === size.id}
                onClick={() => setOpen(open === size.id ? null : size.id)}
              >
                {t("app.plan.change")}
              </button>
              <RemoveButton name={size.name} onRemove={() => void drop(size)} />
            </div>
            <p>
              <b>{t("app.sizes.holds", { mix: room(size.mix_l) })}</b> {measures(size)}{" "}
              {tn("app.sizes.planters", count(size))}
            </p>
            {size.remarks.map((said) => (
              <p key={said} class="small soft">
                {said}
              </p>
            ))}
            {open === size.id && <SizeForm size={size} onDone={done} onStale={reload} />}
          </li>
        ))}
      </ul>
      {open === null && (
        <SizeForm key={plan.sizes.length} size={null} onDone={done} onStale={reload} />
      )}
    </section>
  );
}
