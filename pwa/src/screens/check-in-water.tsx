import { useState } from "preact/hooks";
import { Caution } from "../components/caution";
import { Fold } from "../components/fold";
import { Icon } from "../components/icons";
import { LevelPicker } from "../components/level-picker";
import { LitresField } from "../components/litres-field";
import { PickRow } from "../components/pick-row";
import { type Expected, expectedTopUp } from "../components/wording";
import type { PlanterCard, Town } from "../domain/planter";
import { type Overflow, READ_BY } from "../domain/records";
import { daysBetween } from "../domain/time";
import { litresTyped, t, today, volume, volumeUnit, word } from "../i18n";
import {
  type CheckInForm,
  filledToOverflow,
  isFilled,
  notFilled,
  withLevel,
} from "./check-in-form";
import { Hose } from "./check-in-hose";

/** The likeliest answer first. */
const OVERFLOW: Overflow[] = ["ran-while-filling", "dry", "wet-on-arrival", "not-looked"];

interface PartProps {
  card: PlanterCard;
  town: Town | null | undefined;
  form: CheckInForm;
  onForm: (form: CheckInForm) => void;
  /** Litres to expect, from the forecast, the reading, or both. */
  expected: Expected | null;
  /** A new planting whose roots are short: water from above comes first. */
  rooting?: boolean;
}

/** The unit on the plate: litres one by one, gallons by halves. */
function shownUnit() {
  const gallons = volumeUnit() === "gal";
  return {
    word: volumeUnit(),
    perLitre: gallons ? litresTyped(1000) / 1000 : 1,
    step: gallons ? 0.5 : 1,
  };
}

function ReadBy({ form, onForm }: Pick<PartProps, "form" | "onForm">) {
  return (
    <PickRow
      legend={t("app.check_in.read_by")}
      cols={2}
      value={form.read_by}
      onPick={(read_by) => onForm({ ...form, read_by })}
      choices={READ_BY.map((value) => ({ value, word: word("read_by", value) }))}
    />
  );
}

/** The level as found, and how it was read: a plate that names the planter's own gauge. */
export function WaterFound({ card, form, onForm, expected }: PartProps) {
  const [asking, setAsking] = useState(false);
  const read = typeof form.level === "number" ? form.read_by : null;
  return (
    <div class="stack">
      <LevelPicker
        legend={t("app.check_in.found")}
        value={form.level}
        gap={expected && { litres: expected.litres, range: expected.short }}
        onPick={(level) => onForm(withLevel(form, level, card))}
        beside={
          read && (
            <button
              type="button"
              class="btn btn--choice"
              aria-expanded={asking}
              onClick={() => setAsking(!asking)}
            >
              {t("app.check_in.read_with", { gauge: word("read_by", read) })}
            </button>
          )
        }
      />
      {typeof form.level === "number" && (asking || !read) && (
        <ReadBy form={form} onForm={onForm} />
      )}
    </div>
  );
}

/** One tap for the common case: this much went in and the overflow ran. */
function Filled({ card, form, onForm }: PartProps) {
  // From the reading alone: a forecast that is recorded as poured would only agree with itself.
  const expected = expectedTopUp(card, form.level);
  const filled = isFilled(form);
  const litres = filled ? form.litres_l : (expected?.litres_l ?? null);
  const words =
    litres !== null && litres > 0
      ? t("app.check_in.filled", { litres: volume(litres) })
      : t("app.check_in.filled_unmeasured");
  return (
    <button
      type="button"
      class="btn btn--main btn--wide"
      aria-pressed={filled}
      onClick={() => onForm(filled ? notFilled(form) : filledToOverflow(form, litres || null))}
    >
      <Icon name={filled ? "check" : "can"} /> {words}
    </button>
  );
}

function Amounts(props: PartProps) {
  const { form, onForm, town } = props;
  const unit = shownUnit();
  return (
    <>
      <LitresField
        label={t("app.check_in.through_port")}
        unit={unit}
        value={form.litres_l}
        onChange={(litres_l) =>
          onForm({
            ...form,
            litres_l,
            // Putting the number right does not undo that it was filled until the overflow ran.
            litres_how: litres_l === null ? null : isFilled(form) ? "to-overflow" : "typed",
          })
        }
      />
      <Hose town={town} site={props.card.site.id} form={form} onForm={onForm} />
      <PickRow
        legend={t("app.check_in.overflow")}
        value={form.overflow}
        onPick={(overflow) =>
          onForm({
            ...form,
            overflow,
            litres_how: form.litres_l !== null && isFilled(form) ? "typed" : form.litres_how,
          })
        }
        choices={OVERFLOW.map((value) => ({ value, word: word("overflow", value) }))}
      />
      {!props.rooting && <FromAbove {...props} hint={t("app.check_in.overhead_hint")} />}
    </>
  );
}

function FromAbove({ form, onForm, hint }: Pick<PartProps, "form" | "onForm"> & { hint: string }) {
  return (
    <LitresField
      label={t("app.check_in.overhead")}
      hint={hint}
      unit={shownUnit()}
      value={form.overhead_l}
      onChange={(overhead_l) => onForm({ ...form, overhead_l })}
    />
  );
}

/** Within two days of a freeze nobody tops up. */
const FREEZE_NEAR_DAYS = 2;

function freezeIsNear(town: PartProps["town"]): boolean {
  const date = town?.freeze.source === "site date" ? null : town?.freeze.date;
  if (!date) return false;
  const days = daysBetween(today(), date);
  return days >= 0 && days <= FREEZE_NEAR_DAYS;
}

/** Water given: the one big plate, and beneath it every other way to say it. */
export function WaterGiven(props: PartProps) {
  const { form, town } = props;
  const other =
    form.hose_from !== null ||
    form.bucket_from !== null ||
    form.hose_flow !== null ||
    (form.overhead_l !== null && !props.rooting) ||
    (form.litres_l !== null && !isFilled(form)) ||
    (form.overflow !== null && !isFilled(form)) ||
    form.level === null;
  return (
    <fieldset class="filled">
      <legend>{t("app.check_in.given")}</legend>
      {props.rooting && <FromAbove {...props} hint={t("app.establishment.from_above_hint")} />}
      {freezeIsNear(town) && <Caution icon="frost">{t("app.check_in.freeze_caution")}</Caution>}
      {form.level === null && <p class="small">{t("app.check_in.fill_to_know")}</p>}
      <Filled {...props} />
      <Caution icon="tap" bare>
        {t("app.check_in.hose_caution")}
      </Caution>
      <Fold summary={t("app.check_in.other_amount")} open={other}>
        <Amounts {...props} />
      </Fold>
    </fieldset>
  );
}
