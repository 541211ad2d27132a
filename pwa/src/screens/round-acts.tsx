import { useState } from "preact/hooks";
import { saveRound, saveStop } from "../actions/save";
import { Field } from "../components/field";
import { Options } from "../components/options";
import { PickRow } from "../components/pick-row";
import type { CardStop, RoundCard } from "../domain/planter";
import { SKIP_REASONS, type SkipReason } from "../domain/records";
import { t, word } from "../i18n";
import type { RoundsOnScreen } from "./use-rounds";

interface ActProps {
  round: RoundCard;
  stop: CardStop;
  onDone: () => void;
}

/** Keeps one record at a time and says so when it could not be kept. */
function useKeep(onDone: () => void) {
  const [busy, setBusy] = useState(false);
  const [lost, setLost] = useState(false);
  const keep = (work: () => Promise<unknown>) => {
    if (busy) return;
    setBusy(true);
    work().then(
      () => {
        setBusy(false);
        setLost(false);
        onDone();
      },
      () => {
        setBusy(false);
        setLost(true);
      },
    );
  };
  return { keep, busy, lost: lost && <p role="alert">{t("app.check_in.not_kept")}</p> };
}

/** Why a stop is left out, in one tap. */
export function SkipStop({ round, stop, onDone }: ActProps) {
  const [reason, setReason] = useState<SkipReason | null>(null);
  const { keep, busy, lost } = useKeep(onDone);
  return (
    <section class="slab stack" aria-label={t("app.round.skip")}>
      <PickRow
        legend={t("app.round.skip_why", { name: stop.name })}
        value={reason}
        onPick={setReason}
        choices={SKIP_REASONS.map((value) => ({ value, word: word("skip", value) }))}
      />
      {lost}
      <button
        type="button"
        class="btn btn--main btn--wide"
        disabled={!reason}
        aria-disabled={busy}
        onClick={() =>
          reason && keep(() => saveStop(stop.planter, { round: round.id, what: "skipped", reason }))
        }
      >
        {t("app.round.skip_now")}
      </button>
      <button type="button" class="btn" onClick={onDone}>
        {t("app.round.leave")}
      </button>
    </section>
  );
}

/** Hands a stop to somebody else, who sees it as soon as both have had signal. */
export function HandStop(props: ActProps & { rounds: RoundsOnScreen }) {
  const { round, stop, rounds, onDone } = props;
  const { keep, busy, lost } = useKeep(onDone);
  const people = (rounds.town?.people ?? []).filter((one) => one.id !== round.person.id);
  return (
    <section class="slab stack" aria-label={t("app.round.hand")}>
      <p>
        <b>{t("app.round.hand_to", { name: stop.name })}</b>
      </p>
      {lost}
      <div class="pick__row">
        {people.map((one) => (
          <button
            key={one.id}
            type="button"
            class="btn"
            aria-disabled={busy}
            onClick={() =>
              keep(() => saveStop(stop.planter, { round: round.id, what: "handed", to: one.id }))
            }
          >
            {one.name}
          </button>
        ))}
      </div>
      <button type="button" class="btn" onClick={onDone}>
        {t("app.round.leave")}
      </button>
    </section>
  );
}

/** Takes a planter that nobody planned, or that another holds, into the own round. */
export function AddStop({ rounds }: { rounds: RoundsOnScreen }) {
  const [planter, setPlanter] = useState("");
  const { keep, busy, lost } = useKeep(() => setPlanter(""));
  const own = new Set(rounds.mine.stops.map((stop) => stop.planter));
  const free = rounds.planters.filter((card) => card.status === "in-use" && !own.has(card.id));
  return (
    <section class="stack">
      <Field label={t("app.round.add")}>
        <select value={planter} onChange={(e) => setPlanter(e.currentTarget.value)}>
          <option value="">{t("app.round.add_which")}</option>
          <Options of={free} />
        </select>
      </Field>
      {lost}
      {planter && (
        <button
          type="button"
          class="btn btn--wide"
          aria-disabled={busy}
          onClick={() => keep(() => saveStop(planter, { round: rounds.mine.id, what: "added" }))}
        >
          {t("app.round.add_now")}
        </button>
      )}
    </section>
  );
}

/** Hours as they stand, and the same put right by hand. */
export function HoursByHand({ round }: { round: RoundCard }) {
  const hours = round.hours;
  const [typed, setTyped] = useState("");
  const { keep, busy, lost } = useKeep(() => setTyped(""));
  const minutes = Number(typed);
  const fits = typed.trim() !== "" && minutes >= 0 && minutes <= 1440;
  return (
    <section class="stack">
      <h2>{t("app.round.hours")}</h2>
      <p>
        {hours?.under_way
          ? t("app.round.hours_running")
          : hours && (hours.by_hand || hours.exact_min !== null)
            ? t(hours.by_hand ? "app.round.hours_by_hand" : "app.round.hours_are", {
                minutes: hours.minutes,
              })
            : hours?.ended_at
              ? t("app.round.hours_later")
              : t("app.round.hours_none")}
      </p>
      <Field label={t("app.round.hours_right")} hint={t("app.round.hours_rule")}>
        <input
          type="number"
          inputMode="numeric"
          min={0}
          max={1440}
          step={5}
          value={typed}
          onInput={(e) => setTyped(e.currentTarget.value)}
        />
      </Field>
      {lost}
      {fits && (
        <button
          type="button"
          class="btn btn--wide"
          aria-disabled={busy}
          onClick={() =>
            keep(() => saveRound({ round: round.id, what: "hours", minutes: Math.round(minutes) }))
          }
        >
          {t("app.round.hours_keep")}
        </button>
      )}
    </section>
  );
}
