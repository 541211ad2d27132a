import { useState } from "preact/hooks";
import { dropScheme, putScheme, type SchemeBody } from "../actions/plan";
import { Field } from "../components/field";
import { Fold } from "../components/fold";
import { CheckRow } from "../components/pick-row";
import { ProblemNote } from "../components/problem-note";
import type { Problem, Register } from "../domain/planter";
import type { Scheme, SchemePlant } from "../domain/planting";
import { t, tn, word } from "../i18n";
import { length, measureFrom, measureTyped, typedUnits } from "../i18n/measures";
import { RemoveButton } from "./remove-button";
import { numberOrNull, type PlanPartProps } from "./use-plan";
import { worded, wrongAt } from "./use-register";

const ROLES = ["centre", "filler", "trailer"] as const;
type How = "count" | "spacing";
interface Line {
  role: SchemePlant["role"];
  name: string;
  how: How;
  typed: string;
  /** The spacing as it was read. */
  was?: number | null;
}

const EMPTY: Line[] = ROLES.map((role) => ({
  role,
  name: "",
  how: role === "centre" ? "count" : "spacing",
  typed: role === "centre" ? "1" : "",
}));

function linesOf(scheme: Scheme | null): Line[] {
  if (!scheme) return EMPTY;
  return scheme.plants.map((plant) => ({
    role: plant.role,
    name: plant.name,
    how: plant.count === null ? "spacing" : "count",
    typed: plant.count === null ? measureTyped("length", plant.spacing_cm) : String(plant.count),
    was: plant.spacing_cm,
  }));
}

function plantsFrom(lines: Line[]): SchemeBody["plants"] {
  return lines.map(({ role, name, how, typed, was }) => {
    return how === "count"
      ? { role, name: name.trim(), count: numberOrNull(typed) }
      : {
          role,
          name: name.trim(),
          spacing_cm: measureFrom("length", typed, was),
        };
  });
}

function PlantLine(props: {
  line: Line;
  at: number;
  problem: Problem | null;
  onChange: (line: Line) => void;
}) {
  const { line, at, problem, onChange } = props;
  const wrong = (key: string) => wrongAt(problem, `/plants/${at}/${key}`);
  const counted = line.how === "count";
  return (
    <fieldset class="scheme__line">
      <legend class="hidden-text">{t("app.schemes.plant_n", { n: at + 1 })}</legend>
      <Field label={t("app.schemes.role")}>
        <select
          value={line.role}
          onChange={(e) => onChange({ ...line, role: e.currentTarget.value as "filler" })}
        >
          {ROLES.map((role) => (
            <option key={role} value={role}>
              {word("plant_role", role)}
            </option>
          ))}
        </select>
      </Field>
      <Field label={t("app.schemes.plant")} wrong={wrong("name")}>
        <input
          value={line.name}
          maxLength={80}
          onInput={(e) => onChange({ ...line, name: e.currentTarget.value })}
        />
      </Field>
      <Field label={t("app.schemes.how")}>
        <select
          value={line.how}
          onChange={(e) => onChange({ ...line, how: e.currentTarget.value as How })}
        >
          <option value="count">{t("app.schemes.by_count")}</option>
          <option value="spacing">{t("app.schemes.by_spacing")}</option>
        </select>
      </Field>
      <Field
        label={
          counted ? t("app.schemes.count") : t("app.schemes.spacing", { unit: typedUnits().length })
        }
        wrong={wrong("count") ?? wrong("spacing_cm")}
      >
        <input
          type="number"
          min={0}
          step={counted ? 1 : "any"}
          inputMode={counted ? "numeric" : "decimal"}
          value={line.typed}
          onInput={(e) => onChange({ ...line, typed: e.currentTarget.value })}
        />
      </Field>
    </fieldset>
  );
}

/** Who gets it: a fold a site, so that the list stays short. */
function Planters(props: {
  register: Register;
  chosen: string[];
  onChange: (planters: string[]) => void;
}) {
  const { register, chosen, onChange } = props;
  return (
    <>
      {register.sites.map((site) => {
        const here = register.planters.filter(
          (one) => one.site === site.id && (one.status === "in-use" || one.status === "stored"),
        );
        if (!here.length) return null;
        const own = here.filter((one) => chosen.includes(one.id)).map((one) => one.id);
        const others = chosen.filter((id) => !here.some((one) => one.id === id));
        return (
          <Fold
            key={site.id}
            summary={t("app.schemes.at_site", {
              site: site.name,
              count: own.length,
              of: here.length,
            })}
          >
            <CheckRow
              legend={site.name}
              quiet
              cols={2}
              choices={here.map((one) => ({ value: one.id, word: one.name }))}
              values={own}
              onChange={(values) => onChange([...others, ...values])}
            />
          </Fold>
        );
      })}
    </>
  );
}

function SchemeForm(props: {
  scheme: Scheme | null;
  register: Register;
  onDone: () => Promise<void>;
  onStale: () => Promise<void>;
}) {
  const { scheme, register, onDone, onStale } = props;
  const [name, setName] = useState(scheme?.name ?? "");
  const [lines, setLines] = useState(linesOf(scheme));
  const [planters, setPlanters] = useState(scheme?.planters ?? []);
  const [problem, setProblem] = useState<Problem | null>(null);
  const used = lines.filter((line) => line.name.trim());
  const keep = async () => {
    const body = { name: name.trim(), plants: plantsFrom(used), planters };
    const answer = await putScheme(body, scheme);
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) await onDone();
    if (answer.problem?.status === 412) await onStale();
  };
  return (
    <div class="slab stack">
      <h3>{scheme ? t("app.schemes.change", { name: scheme.name }) : t("app.schemes.add")}</h3>
      <Field label={t("app.schemes.name")} wrong={wrongAt(problem, "/name")}>
        <input value={name} maxLength={80} onInput={(e) => setName(e.currentTarget.value)} />
      </Field>
      {lines.map((line, at) => (
        <PlantLine
          // biome-ignore lint/suspicious/noArrayIndexKey: a line is known by its place alone
          key={at}
          line={line}
          at={used.indexOf(line)}
          problem={problem}
          onChange={(now) => setLines(lines.map((one, index) => (index === at ? now : one)))}
        />
      ))}
      <button
        type="button"
        class="btn"
        onClick={() =>
          setLines([...lines, { role: "filler", name: "", how: "spacing", typed: "" }])
        }
      >
        {t("app.schemes.more")}
      </button>
      <p class="small soft">{t("app.schemes.empty_goes")}</p>
      <Planters register={register} chosen={planters} onChange={setPlanters} />
      {problem && <ProblemNote problem={problem} />}
      <button
        type="button"
        class="btn"
        disabled={!name.trim() || !used.length}
        onClick={() => void keep()}
      >
        {t("app.register.keep")}
      </button>
    </div>
  );
}

function plantWords(plant: SchemePlant): string {
  const role = word("plant_role", plant.role).toLowerCase();
  return plant.count === null
    ? t("app.schemes.every", { name: plant.name, role, spacing: length(plant.spacing_cm ?? 0) })
    : t("app.schemes.each", { name: plant.name, role, count: plant.count });
}

/** Planting schemes: what grows in which role, and who gets it. */
export function Schemes({ plan, register, reload }: PlanPartProps) {
  const [open, setOpen] = useState<string | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const done = async () => {
    setOpen(null);
    await reload();
  };
  const drop = async (scheme: Scheme) => {
    const answer = await dropScheme(scheme.id);
    setProblem(answer.problem ? worded(answer.problem) : null);
    await done();
  };
  return (
    <section class="stack">
      <h2>{t("app.register.part_schemes")}</h2>
      <p>{t("app.schemes.why")}</p>
      {problem && <ProblemNote problem={problem} />}
      <ul class="stack">
        {plan.schemes.map((scheme) => (
          <li key={scheme.id} class="stack stack--close plan__row">
            <div class="sheet__head">
              <h3>{scheme.name}</h3>
              <button
                type="button"
                class="btn"
                aria-expanded={open === scheme.id}
                onClick={() => setOpen(open === scheme.id ? null : scheme.id)}
              >
                {t("app.plan.change")}
              </button>
              <RemoveButton name={scheme.name} onRemove={() => void drop(scheme)} />
            </div>
            <p>{scheme.plants.map(plantWords).join("; ")}</p>
            <p class="small soft">{tn("app.sizes.planters", scheme.planters.length)}</p>
            {open === scheme.id && (
              <SchemeForm scheme={scheme} register={register} onDone={done} onStale={reload} />
            )}
          </li>
        ))}
      </ul>
      {open === null && (
        <SchemeForm
          key={plan.schemes.length}
          scheme={null}
          register={register}
          onDone={done}
          onStale={reload}
        />
      )}
    </section>
  );
}
