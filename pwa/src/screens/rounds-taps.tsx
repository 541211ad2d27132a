import { useState } from "preact/hooks";
import { calibrateTap, dropTap, putTap } from "../actions/rounds";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { Fold } from "../components/fold";
import { Options } from "../components/options";
import { PickRow } from "../components/pick-row";
import { ProblemNote } from "../components/problem-note";
import type { Problem, Tap } from "../domain/planter";
import { litresFrom, t, volume, volumeUnit, word } from "../i18n";
import type { CrewPartProps } from "./rounds-crew";
import { numberOrNull, shown } from "./use-plan";
import { worded, wrongAt } from "./use-register";

const BREAKER = ["yes", "no", "unknown"] as const;

/** A bucket once: litres and seconds give litres a minute. */
function Bucket({ tap, reload }: { tap: Tap; reload: () => Promise<void> }) {
  const [litres, setLitres] = useState("");
  const [seconds, setSeconds] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const keep = async () => {
    const answer = await calibrateTap(tap.id, litresFrom(Number(litres)), Number(seconds));
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) await reload();
  };
  return (
    <div class="stack">
      <div class="form">
        <Field
          label={t("app.taps.bucket_holds", { unit: volumeUnit() })}
          wrong={wrongAt(problem, "/litres_l")}
        >
          <input
            type="number"
            step="any"
            value={litres}
            onInput={(e) => setLitres(e.currentTarget.value)}
          />
        </Field>
        <Field label={t("app.taps.bucket_seconds")} wrong={wrongAt(problem, "/seconds")}>
          <input
            type="number"
            step="any"
            value={seconds}
            onInput={(e) => setSeconds(e.currentTarget.value)}
          />
        </Field>
      </div>
      {problem && <ProblemNote problem={problem} />}
      {litres && seconds && (
        <button type="button" class="btn" onClick={() => void keep()}>
          {t("app.taps.bucket_keep")}
        </button>
      )}
    </div>
  );
}

function TapForm({ tap, register, reload }: CrewPartProps & { tap: Tap | null }) {
  const [name, setName] = useState(tap?.name ?? "");
  const [site, setSite] = useState(tap?.site ?? "");
  const [lat, setLat] = useState(shown(tap?.lat));
  const [lon, setLon] = useState(shown(tap?.lon));
  const [breaker, setBreaker] = useState<Tap["vacuum_breaker"]>(tap?.vacuum_breaker ?? "unknown");
  const [opens, setOpens] = useState(tap?.opens ?? "");
  const [notes, setNotes] = useState(tap?.notes ?? "");
  const [problem, setProblem] = useState<Problem | null>(null);
  const done = async (answer: { problem?: Problem | undefined }) => {
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (!answer.problem && !tap) setName("");
    if (!answer.problem) await reload();
  };
  const keep = async () => {
    const place = { lat: numberOrNull(lat), lon: numberOrNull(lon) };
    const body = { name, site: site || null, ...place, vacuum_breaker: breaker, opens, notes };
    await done(await putTap(body, tap));
  };
  const typed = (
    key: "name" | "lat" | "lon" | "opens" | "notes",
    value: string,
    on: (v: string) => void,
  ) => (
    <Field label={t(`app.taps.${key}`)} wrong={wrongAt(problem, `/${key}`)}>
      <input
        value={value}
        {...(key === "lat" || key === "lon" ? { type: "number", step: "any" } : { maxLength: 200 })}
        onInput={(e) => on(e.currentTarget.value)}
      />
    </Field>
  );
  return (
    <div class="stack">
      <div class="form">
        {typed("name", name, setName)}
        <Field label={t("app.taps.site")} wrong={wrongAt(problem, "/site")}>
          <select value={site} onChange={(e) => setSite(e.currentTarget.value)}>
            <option value="">{t("app.taps.no_site")}</option>
            <Options of={register.sites} />
          </select>
        </Field>
        {typed("lat", lat, setLat)}
        {typed("lon", lon, setLon)}
        {typed("opens", opens, setOpens)}
        {typed("notes", notes, setNotes)}
      </div>
      <PickRow
        legend={t("app.taps.breaker")}
        cols={3}
        value={breaker}
        onPick={(value) => setBreaker(value ?? "unknown")}
        choices={BREAKER.map((value) => ({ value, word: word("breaker", value) }))}
      />
      {problem && <ProblemNote problem={problem} />}
      <div class="row row--wrap">
        <button type="button" class="btn" onClick={() => void keep()}>
          {t(tap ? "app.register.keep" : "app.taps.add")}
        </button>
        {tap && (
          <button type="button" class="btn" onClick={() => void dropTap(tap).then(done)}>
            {t("app.taps.drop")}
          </button>
        )}
      </div>
    </div>
  );
}

/** Where it is and how it opens, in a line. */
function tapLine(tap: Tap, { register }: CrewPartProps): string {
  const site = register.sites.find((one) => one.id === tap.site)?.name;
  const opens = tap.opens ? t("app.taps.opens_with", { key: tap.opens }) : "";
  return [site, opens, tap.notes].filter(Boolean).join("; ");
}

/** The town's taps: where they are, how they open, how fast they run, and backflow. */
export function TapsPart(props: CrewPartProps) {
  return (
    <div class="stack stack--wide">
      <p>{t("app.taps.why")}</p>
      {props.crew.taps.map((tap) => (
        <section key={`${tap.id} ${tap.version}`} class="group stack">
          <div class="group__head">
            <h2>{tap.name}</h2>
            <span>
              {tap.flow_l_min
                ? t("app.taps.flow", { flow: volume(tap.flow_l_min) })
                : t("app.taps.no_flow")}
            </span>
          </div>
          <p>{tapLine(tap, props)}</p>
          {tap.caution && <Caution icon="tap">{tap.caution}</Caution>}
          <Fold
            open={!tap.flow_l_min}
            summary={t(tap.flow_l_min ? "app.taps.bucket_again" : "app.taps.bucket")}
          >
            <Bucket tap={tap} reload={props.reload} />
          </Fold>
          <Fold summary={t("app.taps.change", { name: tap.name })}>
            <TapForm {...props} tap={tap} />
          </Fold>
        </section>
      ))}
      <section class="group stack">
        <div class="group__head">
          <h2>{t("app.taps.new")}</h2>
        </div>
        <TapForm key={props.crew.taps.length} {...props} tap={null} />
      </section>
    </div>
  );
}
