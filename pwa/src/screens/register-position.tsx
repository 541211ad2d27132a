import { useState } from "preact/hooks";
import { changePlanter } from "../actions/register";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { Problem, RegisterPlanter } from "../domain/planter";
import { t } from "../i18n";
import { length } from "../i18n/measures";
import { type PartProps, worded, wrongAt } from "./use-register";

type PositionProps = PartProps & { planter: RegisterPlanter };

const PLACES = 6; // a tenth of a metre
const PATIENCE_MS = 30_000;

/** This phone's own position, asked for by a tap and for this form only. */
function here(): Promise<GeolocationPosition> {
  return new Promise((done, failed) => {
    if (!navigator.geolocation) failed(new Error("no geolocation"));
    else
      navigator.geolocation.getCurrentPosition(done, failed, {
        enableHighAccuracy: true,
        timeout: PATIENCE_MS,
      });
  });
}

const shown = (degrees: number | null | undefined) => (degrees == null ? "" : String(degrees));
const given = (typed: string) => (typed.trim() === "" ? null : Number(typed));

/** A planter's latitude and longitude, typed or read off this phone while standing at it. */
export function Position({ planter, reload }: PositionProps) {
  const [lat, setLat] = useState(shown(planter.lat));
  const [lon, setLon] = useState(shown(planter.lon));
  const [said, setSaid] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const read = async () => {
    setSaid(t("app.place.reading"));
    try {
      const { coords } = await here();
      setLat(coords.latitude.toFixed(PLACES));
      setLon(coords.longitude.toFixed(PLACES));
      setSaid(t("app.place.read", { within: length(coords.accuracy * 100) }));
    } catch {
      setSaid(t("app.place.no_position"));
    }
  };
  const keep = async () => {
    const change = { lat: given(lat), lon: given(lon) };
    const answer = await changePlanter(planter.id, planter.version, change);
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) setSaid(t("app.place.position_kept"));
    if (answer.value || answer.problem?.status === 412) await reload();
  };
  const typed = (label: "lat" | "lon", value: string, set: (typed: string) => void) => (
    <Field
      label={t(`app.place.${label}`)}
      hint={t(`app.place.${label}_hint`)}
      wrong={wrongAt(problem, `/${label}`)}
    >
      <input
        type="number"
        inputMode="decimal"
        step="any"
        value={value}
        onInput={(e) => set(e.currentTarget.value)}
      />
    </Field>
  );
  return (
    <section class="slab stack">
      <h3>{t("app.place.position")}</h3>
      <p class="small soft">{t("app.place.position_says")}</p>
      <div class="form">
        {typed("lat", lat, setLat)}
        {typed("lon", lon, setLon)}
      </div>
      {problem && <ProblemNote problem={problem} />}
      {said && <p role="status">{said}</p>}
      <button type="button" class="btn" onClick={() => void read()}>
        {t("app.place.use_phone")}
      </button>
      <button type="button" class="btn" onClick={() => void keep()}>
        {t("app.place.keep_position")}
      </button>
    </section>
  );
}
