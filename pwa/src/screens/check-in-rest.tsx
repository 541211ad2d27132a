import { Caution } from "../components/caution";
import { CheckRow, PickRow } from "../components/pick-row";
import { DONE, PLUG, SIGNS } from "../domain/records";
import { t, word } from "../i18n";
import type { CheckInForm } from "./check-in-form";

interface PartProps {
  form: CheckInForm;
  onForm: (form: CheckInForm) => void;
}

export function SignsSeen({ form, onForm }: PartProps) {
  return (
    <CheckRow
      legend={t("app.check_in.signs")}
      values={form.signs}
      onChange={(signs) => onForm({ ...form, signs })}
      choices={SIGNS.map((value) => ({ value, word: word("sign", value) }))}
    />
  );
}

function Feed({ form, onForm }: PartProps) {
  return (
    <div class="slab stack">
      <div class="line">
        <label for="feed-what">{t("app.check_in.feed_what")}</label>
        <input
          id="feed-what"
          type="text"
          maxLength={80}
          value={form.feed_what}
          onInput={(event) => onForm({ ...form, feed_what: event.currentTarget.value })}
        />
      </div>
      <div class="line">
        <label for="feed-strength">{t("app.check_in.feed_strength")}</label>
        <input
          id="feed-strength"
          type="text"
          maxLength={80}
          value={form.feed_strength}
          onInput={(event) => onForm({ ...form, feed_strength: event.currentTarget.value })}
        />
      </div>
      <Caution bare>{t("app.check_in.feed_caution")}</Caution>
    </div>
  );
}

export function WorkDone({ form, onForm }: PartProps) {
  return (
    <div class="stack">
      <CheckRow
        legend={t("app.check_in.done")}
        values={form.done}
        onChange={(done) => onForm({ ...form, done })}
        choices={DONE.map((value) => ({ value, word: word("done", value) }))}
      />
      {form.done.includes("fed") && <Feed form={form} onForm={onForm} />}
    </div>
  );
}

export function PlugSeen({ form, onForm }: PartProps) {
  return (
    <div class="stack">
      <PickRow
        legend={t("app.check_in.plug")}
        value={form.plug}
        onPick={(plug) => onForm({ ...form, plug })}
        choices={PLUG.map((value) => ({ value, word: word("plug", value) }))}
      />
      {form.plug === "out" && <Caution>{t("app.check_in.plug_caution")}</Caution>}
    </div>
  );
}

export function Note({ form, onForm }: PartProps) {
  return (
    <div class="line">
      <label for="check-in-note">{t("app.check_in.note")}</label>
      <textarea
        id="check-in-note"
        maxLength={2000}
        rows={2}
        value={form.note}
        onInput={(event) => onForm({ ...form, note: event.currentTarget.value })}
      />
    </div>
  );
}
