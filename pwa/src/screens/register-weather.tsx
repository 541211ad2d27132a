import { useCallback, useEffect, useState } from "preact/hooks";
import { fetchWeather, importWeather, putWeather, readWeather } from "../actions/weather";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { Problem, Weather, WeatherDay } from "../domain/planter";
import { addDays } from "../domain/water";
import {
  dayWords,
  rainNumber,
  t,
  temperature,
  tn,
  today,
  weatherFrom,
  weatherUnits,
  windNumber,
  word,
} from "../i18n";
import { FileImport } from "./file-import";
import { type PartProps, worded, wrongAt } from "./use-register";

/** So many days back are shown, yesterday the last, and so many of the forecast. */
const SHOWN_DAYS = 14;
const AHEAD_DAYS = 7;
const COLUMNS = "date, tmin_c, tmax_c, rain_mm, wind_ms";

const EMPTY = { high: "", low: "", rain: "", wind: "" };

/** One day as somebody read it off: high and low, rain and wind if known. */
function TypeDay({ reload }: { reload: () => Promise<void> }) {
  const [date, setDate] = useState(addDays(today(), -1));
  const [form, setForm] = useState(EMPTY);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [kept, setKept] = useState("");
  const units = weatherUnits();
  const keep = async () => {
    const given = (typed: string, turn: (value: number) => number) =>
      typed === "" ? null : turn(Number(typed));
    const answer = await putWeather([
      {
        date,
        tmin_c: weatherFrom.temperature(Number(form.low)),
        tmax_c: weatherFrom.temperature(Number(form.high)),
        rain_mm: given(form.rain, weatherFrom.rain),
        wind_ms: given(form.wind, weatherFrom.wind),
      },
    ]);
    setProblem(answer.problem ? worded(answer.problem) : null);
    setKept(answer.value ? date : "");
    if (answer.value) {
      setForm(EMPTY);
      await reload();
    }
  };
  const typed = (key: keyof typeof EMPTY, unit: string, sent: string) => (
    <Field label={t(`app.weather.${key}`, { unit })} wrong={wrongAt(problem, `/days/0/${sent}`)}>
      <input
        type="number"
        step="any"
        inputMode="decimal"
        value={form[key]}
        onInput={(e) => setForm({ ...form, [key]: e.currentTarget.value })}
      />
    </Field>
  );
  return (
    <section class="slab stack">
      <h3>{t("app.weather.type_day")}</h3>
      <Field label={t("app.weather.date")} wrong={wrongAt(problem, "/days/0/date")}>
        <input
          type="date"
          value={date}
          max={today()}
          onInput={(e) => setDate(e.currentTarget.value)}
        />
      </Field>
      <div class="form">
        {typed("high", units.temperature, "tmax_c")}
        {typed("low", units.temperature, "tmin_c")}
        {typed("rain", units.rain, "rain_mm")}
        {typed("wind", units.wind, "wind_ms")}
      </div>
      {problem && <ProblemNote problem={problem} />}
      {kept && <p role="status">{t("app.weather.kept", { day: dayWords(kept) })}</p>}
      <button
        type="button"
        class="btn"
        disabled={form.high === "" || form.low === ""}
        onClick={() => void keep()}
      >
        {t("app.weather.keep")}
      </button>
    </section>
  );
}

function Source({ day }: { day: WeatherDay }) {
  const words = day.kind === "forecast" ? t("app.weather.forecast") : word("weather", day.source);
  return <span class={day.source === "filled" ? "unsent" : undefined}>{words}</span>;
}

/** A day's line. On a phone the figures stand without their column's head, so they carry units. */
function DayRow({ date, day }: { date: string; day: WeatherDay | undefined }) {
  const units = weatherUnits();
  const rain = day?.rain_mm ?? null;
  const wind = day?.wind_ms ?? null;
  return (
    <tr>
      <th scope="row">{dayWords(date)}</th>
      <td class="num">
        {day &&
          t("app.water.range", { low: temperature(day.tmin_c), high: temperature(day.tmax_c) })}
      </td>
      <td class="num">{rain === null ? "–" : `${rainNumber(rain)}\u00a0${units.rain}`}</td>
      <td class="num">{wind === null ? "–" : `${windNumber(wind)}\u00a0${units.wind}`}</td>
      <td>{day ? <Source day={day} /> : <b>{t("app.weather.missing")}</b>}</td>
    </tr>
  );
}

/** The last days, newest first, every one in its line whether anybody told its weather or not. */
function Days({ weather }: { weather: Weather }) {
  const known = new Map(weather.days.map((day) => [day.date, day]));
  const past = Array.from({ length: SHOWN_DAYS }, (_, n) => addDays(today(), -1 - n));
  const ahead = weather.days.filter((day) => day.date >= today()).map((day) => day.date);
  const filled = past.filter((date) => known.get(date)?.source === "filled").length;
  return (
    <section class="stack">
      <h2>{t("app.weather.last_days")}</h2>
      {filled > 0 && <p>{tn("app.weather.filled_days", filled)}</p>}
      <table class="table table--rows weather">
        <thead>
          <tr>
            <th scope="col">{t("app.weather.date")}</th>
            <th scope="col" class="num">
              {t("app.weather.col_low_high")}
            </th>
            <th scope="col" class="num">
              {t("app.weather.col_rain")}
            </th>
            <th scope="col" class="num">
              {t("app.weather.col_wind")}
            </th>
            <th scope="col">{t("app.weather.col_source")}</th>
          </tr>
        </thead>
        <tbody>
          {[...ahead.sort().reverse(), ...past].map((date) => (
            <DayRow key={date} date={date} day={known.get(date)} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** The forecast service, when the town has set one. */
function Fetch({ address, reload }: { address: string | null; reload: () => Promise<void> }) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [days, setDays] = useState<number | null>(null);
  const [busy, setBusy] = useState(false);
  const fetchNow = async () => {
    setBusy(true);
    const answer = await fetchWeather();
    setBusy(false);
    setProblem(answer.problem ? worded(answer.problem) : null);
    setDays(answer.value ? answer.value.days.length : null);
    if (answer.value) await reload();
  };
  if (!address) {
    return (
      <p class="small">
        {t("app.weather.no_address")}{" "}
        <a href="/register?part=town">{t("app.register.part_town")}</a>
      </p>
    );
  }
  return (
    <section class="slab stack">
      <h3>{t("app.weather.fetch_title")}</h3>
      <p class="code">{address}</p>
      {problem && <ProblemNote problem={problem} />}
      {days !== null && <p role="status">{tn("app.weather.fetched", days)}</p>}
      <button type="button" class="btn" disabled={busy} onClick={() => void fetchNow()}>
        {t("app.weather.fetch")}
      </button>
    </section>
  );
}

/** Weather: what the water of every planter is reckoned from. */
export function WeatherPart({ register }: PartProps) {
  const [weather, setWeather] = useState<Weather | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const reload = useCallback(async () => {
    const answer = await readWeather(addDays(today(), -SHOWN_DAYS), addDays(today(), AHEAD_DAYS));
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) setWeather(answer.value);
  }, []);
  useEffect(() => {
    void reload();
  }, [reload]);
  return (
    <div class="stack stack--wide">
      <div class="stack stack--close">
        <h2>{t("app.register.part_weather")}</h2>
        <p>{t("app.weather.why")}</p>
      </div>
      <a class="btn" href="/freeze">
        {t("app.freeze.dates")}
      </a>
      {register.settings.latitude == null && <Caution>{t("app.weather.no_latitude")}</Caution>}
      {weather?.notes.map((note) => (
        <Caution key={note}>{note}</Caution>
      ))}
      <TypeDay reload={reload} />
      <Fetch address={register.settings.weather_url ?? null} reload={reload} />
      {problem && <ProblemNote problem={problem} />}
      {weather && <Days weather={weather} />}
      <FileImport
        title={t("app.weather.file_title")}
        columns={COLUMNS}
        hint={t("app.weather.file_hint")}
        words="app.weather.file"
        take={importWeather}
        reload={reload}
      />
    </div>
  );
}
