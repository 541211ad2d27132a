import { Caution } from "../components/caution";
import { Fold } from "../components/fold";
import { NumberLine } from "../components/number-line";
import { PickRow } from "../components/pick-row";
import { fromMicro } from "../domain/feeding";
import { EC_METHODS } from "../domain/records";
import { number, t, word } from "../i18n";
import type { CheckInForm } from "./check-in-form";

interface SaltProps {
  form: CheckInForm;
  onForm: (form: CheckInForm) => void;
}

/** A reading of the mix with a meter: few have one, so it waits behind a fold. */
export function SaltReading({ form, onForm }: SaltProps) {
  const meant = fromMicro(form.ec_ms_cm);
  return (
    <Fold summary={t("app.salt.more")} open={form.ec_method !== null || form.ec_ms_cm !== null}>
      <PickRow
        legend={t("app.salt.method")}
        cols={3}
        value={form.ec_method}
        onPick={(ec_method) => onForm({ ...form, ec_method })}
        choices={EC_METHODS.map((value) => ({ value, word: word("ec_method", value) }))}
      />
      <NumberLine
        label={t("app.salt.reading")}
        hint={t("app.salt.reading_hint")}
        value={form.ec_ms_cm}
        onChange={(ec_ms_cm) => onForm({ ...form, ec_ms_cm })}
      />
      {meant !== null && (
        <Caution>
          <span>{t("app.salt.micro", { typed: number(form.ec_ms_cm ?? 0) })}</span>{" "}
          <button type="button" class="btn" onClick={() => onForm({ ...form, ec_ms_cm: meant })}>
            {t("app.salt.micro_take", { meant: number(meant, 3) })}
          </button>
        </Caution>
      )}
    </Fold>
  );
}
