import { useState } from "preact/hooks";
import { putMaterials } from "../actions/plan";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { PickRow } from "../components/pick-row";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t, word } from "../i18n";
import { typedUnits } from "../i18n/measures";
import {
  formOf,
  type MaterialsForm,
  materialsFrom,
  type StockLine,
  type Typed,
} from "./materials-form";
import type { PlanPartProps } from "./use-plan";
import { worded, wrongAt } from "./use-register";

const UNITS = ["L", "ft3", "dry-quart", "liquid-quart"];
/** Where each field stands in the request, for the words about what is wrong with it. */
const POINTERS: Record<Typed, string> = {
  amount: "/bag/amount",
  unit: "/bag/unit",
  moist_kg: "/bag/moist_kg",
  bag_price: "/bag/price",
  bags_in_shed: "/bags_in_shed",
  settling: "/settling",
  mix_kg_l: "/mix_kg_l",
  feed_name: "/feed/name",
  percent_n: "/feed/percent_n",
  months: "/feed/months",
  label_g_l: "/feed/label_g_l",
  share: "/feed/share",
  feed_in_shed: "/feed/in_shed_kg",
  feed_price: "/feed/price_kg",
  vehicle_name: "/vehicle/name",
  payload_kg: "/vehicle/payload_kg",
  room_l: "/vehicle/room_l",
  tray_plants: "/trays/plants",
  tray_kg: "/trays/kg",
  tray_room: "/trays/room_l",
  reserve: "/reserve",
  currency: "/currency",
};
const TEXTS: Typed[] = ["feed_name", "vehicle_name", "currency"];

/** What is counted one by one: plants with a price, spare parts with how many shall be there. */
function Stock(props: {
  title: string;
  at: "plants" | "parts";
  lines: StockLine[];
  problem: Problem | null;
  onChange: (lines: StockLine[]) => void;
}) {
  const { title, at, lines, problem, onChange } = props;
  const keys =
    at === "parts" ? (["in_shed", "keep", "price"] as const) : (["in_shed", "price"] as const);
  const put = (index: number, change: Partial<StockLine>) =>
    onChange(lines.map((line, other) => (other === index ? { ...line, ...change } : line)));
  return (
    <div class="stack">
      <h3>{title}</h3>
      {lines.map((line, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a line is known by its place alone
        <fieldset key={index} class={`stock stock--${at}`}>
          <legend class="hidden-text">{line.name || t("app.materials.new_line")}</legend>
          <Field label={t("app.materials.item")} wrong={wrongAt(problem, `/${at}/${index}/name`)}>
            <input
              value={line.name}
              maxLength={80}
              onInput={(e) => put(index, { name: e.currentTarget.value })}
            />
          </Field>
          {keys.map((key) => (
            <Field
              key={key}
              label={t(`app.materials.${key}`)}
              wrong={wrongAt(problem, `/${at}/${index}/${key}`)}
            >
              <input
                type="number"
                min={0}
                step={key === "price" ? "any" : 1}
                value={line[key]}
                onInput={(e) => put(index, { [key]: e.currentTarget.value })}
              />
            </Field>
          ))}
        </fieldset>
      ))}
      <button
        type="button"
        class="btn"
        onClick={() => onChange([...lines, { name: "", in_shed: "0", keep: "0", price: "" }])}
      >
        {t("app.materials.more")}
      </button>
    </div>
  );
}

/** What is bought, what the shed holds, and what the town allows for. Saved all together. */
export function MaterialsPart({ plan, reload }: PlanPartProps) {
  const grown = plan.schemes.flatMap((scheme) => scheme.plants.map((plant) => plant.name));
  const [form, setForm] = useState(formOf(plan.materials, grown));
  const [problem, setProblem] = useState<Problem | null>(null);
  const [kept, setKept] = useState(false);
  const change = (now: Partial<MaterialsForm>) => {
    setKept(false);
    setForm({ ...form, ...now });
  };
  const keep = async () => {
    const answer = await putMaterials(materialsFrom(form, plan.materials), plan.materials.version);
    setProblem(answer.problem ? worded(answer.problem) : null);
    setKept(Boolean(answer.value));
    if (answer.value) setForm(formOf(answer.value, grown));
    if (answer.value || answer.problem?.status === 412) await reload();
  };
  const typed = (key: Typed, hint?: string) => (
    <Field
      key={key}
      label={t(`app.materials.${key}`, typedUnits())}
      hint={hint}
      wrong={wrongAt(problem, POINTERS[key])}
    >
      <input
        value={form.typed[key]}
        {...(TEXTS.includes(key)
          ? { maxLength: key === "currency" ? 10 : 80 }
          : { type: "number", min: 0, step: "any", inputMode: "decimal" as const })}
        onInput={(e) => change({ typed: { ...form.typed, [key]: e.currentTarget.value } })}
      />
    </Field>
  );
  return (
    <section class="stack stack--wide">
      <div class="stack stack--close">
        <h2>{t("app.register.part_materials")}</h2>
        <p>{t("app.materials.why")}</p>
      </div>
      <div class="stack">
        <h3>{t("app.materials.mix")}</h3>
        <div class="form">
          {typed("amount")}
          <Field label={t("app.materials.unit")} hint={t("app.materials.unit_hint")}>
            <select
              value={form.typed.unit}
              onChange={(e) => change({ typed: { ...form.typed, unit: e.currentTarget.value } })}
            >
              {UNITS.map((unit) => (
                <option key={unit} value={unit}>
                  {word("bag_unit", unit)}
                </option>
              ))}
            </select>
          </Field>
          {typed("moist_kg", t("app.materials.moist_hint"))}
          {typed("bag_price")}
          {typed("bags_in_shed")}
          {typed("settling", t("app.materials.settling_hint"))}
          {typed("mix_kg_l", t("app.materials.mix_hint"))}
        </div>
      </div>
      <div class="stack">
        <h3>{t("app.materials.feed")}</h3>
        <Caution>{t("app.materials.feed_caution")}</Caution>
        <div class="form">
          {typed("feed_name")}
          {typed("percent_n")}
          {typed("months", t("app.materials.months_hint"))}
          {typed("label_g_l", t("app.materials.label_hint"))}
          {typed("share", t("app.materials.share_hint"))}
          {typed("feed_in_shed")}
          {typed("feed_price")}
        </div>
      </div>
      <div class="stack">
        <h3>{t("app.materials.vehicle")}</h3>
        <div class="form">
          {typed("vehicle_name")}
          {typed("payload_kg", t("app.materials.payload_hint"))}
          {typed("room_l")}
        </div>
        <PickRow
          legend={t("app.materials.water")}
          choices={[
            { value: "tap", word: t("app.materials.water_tap") },
            { value: "cans", word: t("app.materials.water_cans") },
          ]}
          value={form.brings_water ? "cans" : "tap"}
          onPick={(value) => change({ brings_water: value === "cans" })}
        />
        <div class="form">
          {typed("tray_plants")}
          {typed("tray_kg")}
          {typed("tray_room")}
          {typed("reserve", t("app.materials.reserve_hint"))}
          {typed("currency", t("app.materials.currency_hint"))}
        </div>
      </div>
      <Stock
        title={t("app.materials.parts")}
        at="parts"
        lines={form.parts}
        problem={problem}
        onChange={(parts) => change({ parts })}
      />
      <Stock
        title={t("app.materials.plants")}
        at="plants"
        lines={form.plants}
        problem={problem}
        onChange={(plants) => change({ plants })}
      />
      {problem && <ProblemNote problem={problem} />}
      {kept && <p role="status">{t("app.register.kept")}</p>}
      <button type="button" class="act" onClick={() => void keep()}>
        {t("app.register.keep")}
      </button>
    </section>
  );
}
