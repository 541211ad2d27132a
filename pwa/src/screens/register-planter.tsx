import { useEffect, useState } from "preact/hooks";
import { addPlanting, changePlanter, replaceTag } from "../actions/register";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { Problem, RegisterPlanter } from "../domain/planter";
import { display } from "../domain/tag-code";
import { dayWords, t, today } from "../i18n";
import { formOf, merged, PlanterFields, planterFrom } from "./planter-form";
import { type PartProps, worded } from "./use-register";

type SheetProps = PartProps & { planter: RegisterPlanter };

/** What grows in it: a new planting ends the one before, which stays in the history. */
function Planting({ planter, reload }: Pick<SheetProps, "planter" | "reload">) {
  const [on, setOn] = useState(today());
  const [plants, setPlants] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const names = plants
    .split(/[,;\n]/)
    .map((one) => one.trim())
    .filter(Boolean);
  const keep = async () => {
    const answer = await addPlanting(planter.id, { planted_on: on, plants: names });
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) {
      setPlants("");
      await reload();
    }
  };
  return (
    <section class="slab stack">
      <h3>{t("app.planting.title")}</h3>
      {planter.planting && (
        <p>
          {t("app.planting.now", {
            day: planter.planting.planted_on ? dayWords(planter.planting.planted_on) : "–",
            plants: planter.planting.plants.join(", "),
          })}
        </p>
      )}
      <Field label={t("app.planting.on")}>
        <input type="date" value={on} onInput={(e) => setOn(e.currentTarget.value)} />
      </Field>
      <Field label={t("app.planting.plants")} hint={t("app.planting.plants_hint")}>
        <textarea value={plants} onInput={(e) => setPlants(e.currentTarget.value)} />
      </Field>
      {problem && <ProblemNote problem={problem} />}
      <button type="button" class="btn" disabled={!names.length} onClick={() => void keep()}>
        {t("app.planting.keep")}
      </button>
    </section>
  );
}

/** The tag in use; replacing asks for the reason, for the old code stays out there on paper. */
function Tag({ planter, reload }: Pick<SheetProps, "planter" | "reload">) {
  const [reason, setReason] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const replace = async () => {
    const answer = await replaceTag(planter.id, reason.trim());
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) {
      setReason("");
      await reload();
    }
  };
  return (
    <section class="slab stack">
      <h3>{t("app.tags.tag")}</h3>
      <p class="head num">{planter.code ? display(planter.code) : t("app.register.no_tag")}</p>
      {planter.old_codes.length > 0 && (
        <p class="small soft">
          {t("app.tags.old", { codes: planter.old_codes.map(display).join(", ") })}
        </p>
      )}
      <Field label={t("app.tags.reason")} hint={t("app.tags.replace_hint")}>
        <input value={reason} maxLength={200} onInput={(e) => setReason(e.currentTarget.value)} />
      </Field>
      {problem && <ProblemNote problem={problem} />}
      <button type="button" class="btn" disabled={!reason.trim()} onClick={() => void replace()}>
        {t("app.tags.replace")}
      </button>
    </section>
  );
}

/** One planter's sheet. A change made meanwhile by somebody else is never overwritten unseen. */
export function EditPlanter({ planter, register, reload }: SheetProps) {
  const [base, setBase] = useState(planter);
  const [form, setForm] = useState(formOf(planter));
  useEffect(() => {
    if (planter.version === base.version) return;
    setForm((mine) => merged(mine, formOf(base), formOf(planter)));
    setBase(planter);
  }, [planter, base]);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [kept, setKept] = useState(false);
  const keep = async () => {
    const answer = await changePlanter(planter.id, planter.version, planterFrom(form));
    setProblem(answer.problem ? worded(answer.problem) : null);
    setKept(Boolean(answer.value));
    // After a clash the newest sheet is read, so that the next try stands on what is there.
    if (answer.value || answer.problem?.status === 412) await reload();
  };
  return (
    <div class="stack stack--wide">
      <div class="sheet__head">
        <h2>{planter.name}</h2>
        <a class="btn" href={`/register?planter=${planter.id}&part=place`}>
          {t("app.place.way")}
        </a>
        <a class="btn" href={`/p/${planter.id}`}>
          {t("app.register.record")}
        </a>
        <a class="btn" href={`/register?part=assets&of=${planter.id}`}>
          {t("app.assets.of")}
        </a>
        <a class="btn" href={`/planting?scope=${planter.id}`}>
          {t("app.plan.title")}
        </a>
        <a class="btn" href="/register">
          {t("app.register.all")}
        </a>
      </div>
      <section class="stack">
        <PlanterFields
          form={form}
          sites={register.sites}
          onChange={(change) => {
            setKept(false);
            setForm({ ...form, ...change });
          }}
          problem={problem}
          pointer=""
        />
        {problem && <ProblemNote problem={problem} />}
        {kept && <p role="status">{t("app.register.kept")}</p>}
        <button type="button" class="act" onClick={() => void keep()}>
          {t("app.register.keep")}
        </button>
        {Number(form.weight_moist_kg) > 25 && <Caution>{t("app.register.weight_caution")}</Caution>}
      </section>
      <Planting planter={planter} reload={reload} />
      <Tag planter={planter} reload={reload} />
    </div>
  );
}
