import { useState } from "preact/hooks";
import { type AssetBody, putAsset, swapPlanters } from "../actions/plan";
import { Field } from "../components/field";
import { Options } from "../components/options";
import { ProblemNote } from "../components/problem-note";
import type { Problem, Register, RegisterPlanter } from "../domain/planter";
import type { Asset, AssetDue } from "../domain/planting";
import { dayWords, t, tn, word } from "../i18n";
import type { PlanPartProps } from "./use-plan";
import { useQuery } from "./use-query";
import { worded, wrongAt } from "./use-register";

const CONDITIONS = ["", "sound", "worn", "damaged", "unfit"];
const KEYS = [
  "condition",
  "condition_note",
  "condition_on",
  "inspect_on",
  "warranty",
  "warranty_until",
] as const;
type Form = Record<(typeof KEYS)[number], string>;
const DAYS = ["condition_on", "inspect_on", "warranty_until"];

const kindOf = (key: string): object =>
  DAYS.includes(key) ? { type: "date" } : { maxLength: 2000 };

function formOf(asset: Asset | undefined): Form {
  return Object.fromEntries(KEYS.map((key) => [key, asset?.[key] ?? ""])) as Form;
}

/** Condition, next inspection and warranty of one planter. */
function Sheet(props: { planter: string; asset: Asset | undefined; reload: () => Promise<void> }) {
  const { planter, asset, reload } = props;
  const [form, setForm] = useState(formOf(asset));
  const [problem, setProblem] = useState<Problem | null>(null);
  const [kept, setKept] = useState(false);
  const keep = async () => {
    const body = {
      ...form,
      condition: form.condition || null,
      condition_on: form.condition_on || null,
      inspect_on: form.inspect_on || null,
      warranty_until: form.warranty_until || null,
    } as AssetBody;
    const answer = await putAsset(planter, body, asset?.version ?? 0);
    setProblem(answer.problem ? worded(answer.problem) : null);
    setKept(Boolean(answer.value));
    if (answer.value || answer.problem?.status === 412) await reload();
  };
  const set = (key: keyof Form, value: string) => {
    setKept(false);
    setForm({ ...form, [key]: value });
  };
  return (
    <>
      <div class="form">
        {KEYS.map((key) => (
          <Field key={key} label={t(`app.assets.${key}`)} wrong={wrongAt(problem, `/${key}`)}>
            {key === "condition" ? (
              <select value={form[key]} onChange={(e) => set(key, e.currentTarget.value)}>
                {CONDITIONS.map((one) => (
                  <option key={one} value={one}>
                    {one ? word("condition", one) : t("app.register.not_said")}
                  </option>
                ))}
              </select>
            ) : (
              <input
                {...kindOf(key)}
                value={form[key]}
                onInput={(e) => set(key, e.currentTarget.value)}
              />
            )}
          </Field>
        ))}
      </div>
      {problem && <ProblemNote problem={problem} />}
      {kept && <p role="status">{t("app.register.kept")}</p>}
      <button type="button" class="act" onClick={() => void keep()}>
        {t("app.register.keep")}
      </button>
    </>
  );
}

/** Two planters change places; what is printed on them goes with them. */
function Swap(props: {
  planter: RegisterPlanter;
  register: Register;
  reload: () => Promise<void>;
}) {
  const { planter, register, reload } = props;
  const [other, setOther] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const others = register.planters.filter((one) => one.id !== planter.id);
  if (!others.length) return null;
  const swap = async () => {
    const answer = await swapPlanters(planter.id, other);
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (!answer.problem) setOther("");
    await reload();
  };
  return (
    <div class="slab stack">
      <h3>{t("app.assets.swap_title")}</h3>
      <p>{t("app.assets.swap_why")}</p>
      <Field label={t("app.assets.swap_with")}>
        <select value={other} onChange={(e) => setOther(e.currentTarget.value)}>
          <option value="">{t("app.register.not_said")}</option>
          <Options of={others} />
        </select>
      </Field>
      {problem && <ProblemNote problem={problem} />}
      <button type="button" class="btn" disabled={!other} onClick={() => void swap()}>
        {t("app.assets.swap")}
      </button>
    </div>
  );
}

function dueWords(due: AssetDue): string {
  const what = word("asset_due", due.what);
  const day = dayWords(due.on);
  if (due.days < 0)
    return t("app.assets.was_due", { what, day, ago: tn("app.assets.days", -due.days) });
  return t("app.assets.is_due", { what, day, ahead: tn("app.assets.days", due.days) });
}

/** Planters as things that were bought: what falls due, and one planter's sheet. */
export function Assets({ plan, register, reload }: PlanPartProps) {
  const names = new Map(register.planters.map((one) => [one.id, one.name]));
  const first = plan.due[0]?.planter ?? register.planters[0]?.id ?? "";
  const [{ of: chosen }, change] = useQuery({ of: first });
  const planter = register.planters.find((one) => one.id === chosen);
  const asset = plan.assets.find((one) => one.planter === chosen);
  return (
    <section class="stack">
      <h2>{t("app.register.part_assets")}</h2>
      <h3>{t("app.assets.due")}</h3>
      {plan.due.length === 0 && <p>{t("app.assets.nothing_due")}</p>}
      <ul class="stack stack--close">
        {plan.due.map((due) => (
          <li key={`${due.planter} ${due.what}`}>
            <b>{names.get(due.planter)}</b>: {dueWords(due)}
          </li>
        ))}
      </ul>
      <Field label={t("app.assets.planter")}>
        <select value={chosen} onChange={(e) => change({ of: e.currentTarget.value })}>
          <Options of={register.planters} />
        </select>
      </Field>
      {planter && (
        <>
          <h3>{planter.name}</h3>
          <p class="soft">
            {planter.installed_on
              ? t("app.assets.since", {
                  day: `${dayWords(planter.installed_on, true)} ${planter.installed_on.slice(0, 4)}`,
                  status: word("status", planter.status).toLowerCase(),
                })
              : word("status", planter.status)}
          </p>
          <Sheet key={planter.id} planter={planter.id} asset={asset} reload={reload} />
          <Swap key={planter.id} planter={planter} register={register} reload={reload} />
        </>
      )}
    </section>
  );
}
