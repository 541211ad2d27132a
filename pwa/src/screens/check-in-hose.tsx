import { useState } from "preact/hooks";
import { calibrateTap } from "../actions/rounds";
import { Field } from "../components/field";
import { HoseTimer } from "../components/hose-timer";
import { PickRow } from "../components/pick-row";
import type { Tap, Town } from "../domain/planter";
import { litresFrom, t, volume, volumeUnit } from "../i18n";
import { afterHose, type CheckInForm } from "./check-in-form";

interface HoseProps {
  town: Town | null | undefined;
  site: string;
  form: CheckInForm;
  onForm: (form: CheckInForm) => void;
}

/** A bucket of known litres, once: the flow serves this check-in, and everybody once it is sent. */
function Bucket({ tap, form, onForm }: Omit<HoseProps, "town" | "site"> & { tap: Tap }) {
  const [typed, setTyped] = useState("");
  const [unkept, setUnkept] = useState(false);
  const litres = litresFrom(Number(typed));
  const stop = async (seconds: number) => {
    if (seconds < 1 || !(litres > 0)) return onForm({ ...form, bucket_from: null });
    const hose_flow = Math.round((litres / seconds) * 6000) / 100;
    onForm({ ...form, bucket_from: null, hose_flow });
    setUnkept(Boolean((await calibrateTap(tap.id, litres, seconds)).problem));
  };
  return (
    <div class="stack">
      {form.hose_flow === null && (
        <>
          <Field label={t("app.taps.bucket_holds", { unit: volumeUnit() })}>
            <input
              type="number"
              inputMode="decimal"
              step="any"
              min={0}
              value={typed}
              onInput={(e) => setTyped(e.currentTarget.value)}
            />
          </Field>
          {(litres > 0 || form.bucket_from !== null) && (
            <HoseTimer
              startedAt={form.bucket_from}
              startWords={t("app.check_in.bucket_start")}
              stopWords={t("app.check_in.bucket_stop")}
              ranWords={(seconds) => t("app.check_in.bucket_ran", { seconds: Math.round(seconds) })}
              onStart={(bucket_from) => onForm({ ...form, bucket_from })}
              onStop={(seconds) => void stop(seconds)}
            />
          )}
        </>
      )}
      {unkept && <p role="status">{t("app.taps.bucket_net")}</p>}
    </div>
  );
}

/** The hose by its tap: which tap, a bucket once where it was never timed, then start and stop. */
export function Hose({ town, site, form, onForm }: HoseProps) {
  const all = town?.taps ?? [];
  const near = all.filter((tap) => tap.site === site);
  const taps = near.length ? near : all;
  const tap =
    taps.find((one) => one.id === form.hose_tap) ?? (taps.length === 1 ? taps[0] : undefined);
  const flow = form.hose_flow ?? tap?.flow_l_min ?? (tap ? null : town?.tap_flow_l_min) ?? null;
  return (
    <div class="stack">
      {taps.length > 1 && (
        <PickRow
          legend={t("app.check_in.tap")}
          value={form.hose_tap}
          onPick={(hose_tap) => onForm({ ...form, hose_tap, hose_flow: null })}
          choices={taps.map((one) => ({ value: one.id, word: one.name }))}
        />
      )}
      {tap && tap.flow_l_min === null && <Bucket tap={tap} form={form} onForm={onForm} />}
      {flow ? (
        <HoseTimer
          startedAt={form.hose_from}
          startWords={t("app.check_in.hose_start", { flow: volume(flow) })}
          stopWords={t("app.check_in.hose_stop")}
          ranWords={(seconds) =>
            t("app.check_in.hose_ran", {
              seconds: Math.round(seconds),
              litres: volume((seconds / 60) * flow),
            })
          }
          onStart={(hose_from) => onForm({ ...form, hose_from })}
          onStop={(seconds) => onForm(afterHose(form, seconds, flow))}
        />
      ) : null}
    </div>
  );
}
