import { Field } from "../components/field";
import type { Problem } from "../domain/planter";
import { t, word } from "../i18n";
import { typedUnits } from "../i18n/measures";
import { NO_THING, type PlaceForm, THINGS, type ThingForm } from "./place-form";
import { wrongAt } from "./use-register";

interface ThingsProps {
  form: PlaceForm;
  problem: Problem | null;
  onChange: (change: Partial<PlaceForm>) => void;
}

/** What is in the way of these is what is said about them; the others only stand near. */
const IN_THE_PATH = new Set(["post", "bench", "other"]);

/** What stands around the planter: posts, doors, taps, a hydrant, a bus stop, a corner. */
export function Things({ form, problem, onChange }: ThingsProps) {
  const set = (index: number, change: Partial<ThingForm>) =>
    onChange({
      things: form.things.map((one, at) => (at === index ? { ...one, ...change } : one)),
    });
  return (
    <section class="stack">
      <h3>{t("app.place.around")}</h3>
      {form.things.map((thing, index) => (
        <One
          key={index}
          thing={thing}
          wrong={(key) => wrongAt(problem, `/things/${index}/${key}`)}
          onChange={(change) => set(index, change)}
          onRemove={() => onChange({ things: form.things.filter((_, at) => at !== index) })}
        />
      ))}
      <button
        type="button"
        class="btn"
        onClick={() => onChange({ things: [...form.things, NO_THING] })}
      >
        {t("app.place.add_thing")}
      </button>
    </section>
  );
}

function One(props: {
  thing: ThingForm;
  wrong: (key: string) => string | undefined;
  onChange: (change: Partial<ThingForm>) => void;
  onRemove: () => void;
}) {
  const { thing, wrong, onChange } = props;
  const unit = typedUnits().length;
  const typed = (key: Exclude<keyof ThingForm, "what">) => (
    <Field label={t(`app.place.thing_${key}`, { unit })} wrong={wrong(key)}>
      <input
        type="number"
        inputMode="decimal"
        step="any"
        value={thing[key]}
        onInput={(e) => onChange({ [key]: e.currentTarget.value })}
      />
    </Field>
  );
  return (
    <div class="slab stack">
      <div class="form">
        <Field label={t("app.place.thing_what")} wrong={wrong("what")}>
          <select
            value={thing.what}
            onChange={(e) => onChange({ what: e.currentTarget.value as ThingForm["what"] })}
          >
            {THINGS.map((what) => (
              <option key={what} value={what}>
                {word("thing", what)}
              </option>
            ))}
          </select>
        </Field>
        {typed("distance_cm")}
        {IN_THE_PATH.has(thing.what) && typed("from_kerb_cm")}
        {IN_THE_PATH.has(thing.what) && typed("width_cm")}
        {thing.what === "door" && typed("swing_cm")}
      </div>
      <button type="button" class="btn" onClick={props.onRemove}>
        {t("app.place.remove_thing", { what: word("thing", thing.what).toLowerCase() })}
      </button>
    </div>
  );
}
