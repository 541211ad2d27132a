import { useState } from "preact/hooks";
import { addPlanters } from "../actions/register";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t, tn } from "../i18n";
import { emptyForm, PlanterFields, planterFrom } from "./planter-form";
import { type PartProps, worded } from "./use-register";

const MOST = 30;

/** "Ferry landing" and 3 become Ferry landing 1, 2, 3, going on after the names that are taken. */
function names(stem: string, count: number, taken: Set<string>): string[] {
  if (count === 1) return [stem];
  const made: string[] = [];
  for (let number = 1; made.length < count; number += 1) {
    const name = `${stem} ${number}`;
    if (!taken.has(name)) made.push(name);
  }
  return made;
}

/** One planter or a row of like ones: all are added or none. */
export function AddPlanters({ register, reload }: PartProps) {
  const [form, setForm] = useState(emptyForm(register.sites[0]?.id ?? ""));
  const [count, setCount] = useState(1);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [added, setAdded] = useState(0);
  const taken = new Set(register.planters.map((planter) => planter.name));
  const all = names(form.name.trim(), count, taken);
  const add = async () => {
    const answer = await addPlanters(all.map((name) => ({ ...planterFrom(form), name })));
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) {
      setAdded(answer.value.planters.length);
      setForm({ ...form, name: "" });
      setCount(1);
      await reload();
    }
  };
  if (!register.sites.length) return <p>{t("app.register.site_first")}</p>;
  return (
    <section class="stack">
      <h2>{t("app.register.add_title")}</h2>
      <PlanterFields
        form={form}
        sites={register.sites}
        onChange={(change) => setForm({ ...form, ...change })}
        problem={problem}
        pointer="/planters/0"
      />
      <Field label={t("app.register.count")} hint={t("app.register.count_hint")}>
        <input
          type="number"
          min={1}
          max={MOST}
          value={count}
          onInput={(e) =>
            setCount(Math.min(MOST, Math.max(1, Math.round(Number(e.currentTarget.value) || 1))))
          }
        />
      </Field>
      {count > 1 && form.name.trim() && (
        <p class="soft">
          {t("app.register.will_be", { first: all[0] ?? "", last: all.at(-1) ?? "" })}
        </p>
      )}
      {problem && <ProblemNote problem={problem} />}
      {added > 0 && <p role="status">{tn("app.register.added", added)}</p>}
      <button type="button" class="act" onClick={() => void add()}>
        {tn("app.register.add_now", count)}
      </button>
    </section>
  );
}
