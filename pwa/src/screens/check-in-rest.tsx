import { Caution } from "../components/caution";
import { CheckRow, PickRow } from "../components/pick-row";
import { fedWords } from "../components/wording-care";
import type { LastFed } from "../domain/feeding";
import type { StandingFeed } from "../domain/planter";
import { DONE, type Done, PLUG, SIGNS } from "../domain/records";
import { t, word } from "../i18n";
import { FeedGiven, withFeed } from "./check-in-feed";
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

interface WorkProps extends PartProps {
  feed: StandingFeed | null;
  /** Who fed last, and when; said before anybody feeds again. */
  fed: LastFed | null;
  /** Why the planter is not to be fed now, ready-worded by the server. */
  hold: string | null;
}

/** What was done. A feed starts from the town's own, so that one tap says it all. */
export function WorkDone({ form, onForm, feed, fed, hold }: WorkProps) {
  const take = (done: Done[]) => {
    const now = done.includes("fed") && !form.done.includes("fed");
    onForm({ ...(now ? withFeed(form, feed) : form), done });
  };
  return (
    <div class="stack">
      {fed && <p>{fedWords(fed, hold)}</p>}
      <CheckRow
        legend={t("app.check_in.done")}
        values={form.done}
        onChange={take}
        choices={DONE.map((value) => ({ value, word: word("done", value) }))}
      />
      {form.done.includes("fed") && <FeedGiven form={form} onForm={onForm} feed={feed} fed={fed} />}
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
