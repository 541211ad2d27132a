/**
 * Words and numbers. The catalogues are the server's own files, one a language; English fills gaps.
 * Keys are flat: "app.<screen>.<name>"; {name} in a text is a value.
 */

import type en from "../../../server/potrounds/locales/en.json";
import { ago, daysBetween, localDay, onServerClock } from "../domain/time";

export type Key = keyof typeof en;
export type Values = Record<string, string | number>;
export type Units = "metric" | "us";

const catalogues = import.meta.glob<Record<string, string>>(
  "../../../server/potrounds/locales/*.json",
  { eager: true, import: "default" },
);
const words = new Map<string, Record<string, string>>(
  Object.entries(catalogues).map(([path, texts]) => [
    path.replace(/^.*\/|\.json$/g, ""),
    texts as Record<string, string>,
  ]),
);
/** In development this language shows the keys themselves, so an unworded text stands out. */
const KEYS = "keys";
const ENOUGH = 0.85;
/** A figure with its unit as the server writes it, joined by a space that does not break. */
const SERVER_FIGURE = /([−-]?)(\d+(?:\.\d+)?)\u00a0(L|°C|kg)(?![\w])/g;
export const LITRES_IN_A_GALLON = 3.785411784; // US liquid gallon, exact: 231 cubic inches
const POUNDS_IN_A_KILOGRAM = 1 / 0.45359237; // exact
const MM_IN_AN_INCH = 25.4; // exact
const MS_IN_A_MPH = 0.44704; // exact
const NBSP = "\u00a0";

let language = "en";
let units: Units = "metric";
let zone = "UTC";
let offsetMs = 0;

/** Sets how everything is worded from now on; the app draws itself anew after it. */
export function configure(how: {
  language?: string;
  units?: Units;
  zone?: string;
  clock_offset_ms?: number;
}): void {
  if (how.language !== undefined) language = known(how.language);
  if (how.units) units = how.units;
  if (how.zone) zone = how.zone;
  if (how.clock_offset_ms !== undefined) offsetMs = how.clock_offset_ms;
}

function known(wanted: string): string {
  if (wanted === KEYS && import.meta.env.DEV) return KEYS;
  return words.has(wanted) ? wanted : "en";
}

/** The languages worded well enough to offer, English always among them. */
export function languages(): string[] {
  const all = Object.keys(words.get("en") ?? {}).length;
  return [...words]
    .filter(([name, texts]) => name === "en" || Object.keys(texts).length >= ENOUGH * all)
    .map(([name]) => name);
}

/** The language set, or the phone's own if we have it. */
export function preferredLanguage(): string {
  const wanted = globalThis.navigator?.language?.slice(0, 2) ?? "en";
  return languages().includes(wanted) ? wanted : "en";
}

function lookUp(key: string): string | undefined {
  return words.get(language)?.[key] ?? words.get("en")?.[key];
}

function filled(text: string, values: Values): string {
  return text.replace(/\{(\w+)\}/g, (whole, name: string) =>
    name in values ? String(values[name]) : whole,
  );
}

/** A text of the catalogue with its values put in. */
export function t(key: Key, values: Values = {}): string {
  if (language === KEYS) return key;
  return filled(lookUp(key) ?? key, values);
}

/** A text that differs by number: keys end in ".one" and ".other"; {count} is the number. */
export function tn(key: string, count: number, values: Values = {}): string {
  if (language === KEYS) return key;
  const form = new Intl.PluralRules(locale()).select(count);
  const text = lookUp(`${key}.${form}`) ?? lookUp(`${key}.other`) ?? key;
  return filled(text, { count: number(count), ...values });
}

/** The wording of a value of the wire, e.g. word("overflow", "ran-while-filling"). */
export function word(group: string, value: string): string {
  if (language === KEYS) return `app.${group}.${value}`;
  return lookUp(`app.${group}.${value}`) ?? value;
}

/**
 * How days and numbers are written. English writes "Saturday 17 October" as the server's sentences
 * do, whatever the phone's region, and the other order only with US units.
 */
function locale(): string {
  const wanted = language === KEYS ? "en" : language;
  if (wanted === "en") return units === "us" ? "en-US" : "en-GB";
  const phone = globalThis.navigator?.language ?? wanted;
  return phone.split("-")[0] === wanted ? phone : wanted;
}

/** A plain number, at most `digits` behind the point. */
export function number(value: number, digits = 0): string {
  return new Intl.NumberFormat(locale(), { maximumFractionDigits: digits }).format(value);
}

/** A number with one place behind the point, also where that is a nought: for columns. */
export function tenths(value: number): string {
  const places = { minimumFractionDigits: 1, maximumFractionDigits: 1 };
  return new Intl.NumberFormat(locale(), places).format(value);
}

function digitsFor(value: number): number {
  if (Math.abs(value) < 1) return 2;
  return Math.abs(value) < 10 ? 1 : 0;
}

/** The unit water is counted in, as a short word. */
export function volumeUnit(): string {
  return units === "us" ? "gal" : "L";
}

/** Litres in the chosen unit, without the unit's name. */
export function volumeNumber(litres: number): string {
  const value = units === "us" ? litres / LITRES_IN_A_GALLON : litres;
  return number(value, digitsFor(value));
}

/** Litres with the unit, e.g. "12 L" or "3.2 gal". */
export function volume(litres: number): string {
  return `${volumeNumber(litres)}${NBSP}${volumeUnit()}`;
}

/** Litres from a number typed in the chosen unit. */
export function litresFrom(typed: number): number {
  return units === "us" ? Math.round(typed * LITRES_IN_A_GALLON * 100) / 100 : typed;
}

/** A typed field's number from litres, the way back of litresFrom. */
export function litresTyped(litres: number): number {
  const value = units === "us" ? litres / LITRES_IN_A_GALLON : litres;
  return Math.round(value * 10) / 10;
}

/** What the server says in litres, °C and kg, in the chosen units: "about 8 L" becomes "about 2.1 gal". */
export function inUnits(said: string): string {
  if (units !== "us") return said;
  return said.replace(SERVER_FIGURE, (_, minus: string, figure: string, unit: string) => {
    const value = Number(figure) * (minus ? -1 : 1);
    if (unit === "kg") return weight(value);
    return unit === "L" ? volume(value) : temperature(value);
  });
}

/** A weight, e.g. "140 kg" or "309 lb". */
export function weight(kg: number): string {
  return units === "us"
    ? `${number(kg * POUNDS_IN_A_KILOGRAM)}${NBSP}lb`
    : `${number(kg)}${NBSP}kg`;
}

/** The units the weather is typed in, as short words. */
export function weatherUnits(): { temperature: string; rain: string; wind: string } {
  return units === "us"
    ? { temperature: "°F", rain: "in", wind: "mph" }
    : { temperature: "°C", rain: "mm", wind: "m/s" };
}

/** Typed weather in the units it is sent in: °C, mm and m/s. */
export const weatherFrom = {
  temperature: (typed: number) => (units === "us" ? rounded((typed - 32) / 1.8, 2) : typed),
  rain: (typed: number) => (units === "us" ? rounded(typed * MM_IN_AN_INCH, 2) : typed),
  wind: (typed: number) => (units === "us" ? rounded(typed * MS_IN_A_MPH, 2) : typed),
};

/** Rain in the chosen unit, without the unit's name. */
export function rainNumber(mm: number): string {
  return units === "us" ? number(mm / MM_IN_AN_INCH, 2) : number(mm, 1);
}

/** Wind in the chosen unit, without the unit's name. */
export function windNumber(ms: number): string {
  return number(units === "us" ? ms / MS_IN_A_MPH : ms, 1);
}

function rounded(value: number, digits: number): number {
  const scale = 10 ** digits;
  return Math.round(value * scale) / scale;
}

/** A temperature, e.g. "-2 °C" or "28 °F". */
export function temperature(celsius: number): string {
  const value = units === "us" ? (celsius * 9) / 5 + 32 : celsius;
  return `${number(value)}${NBSP}°${units === "us" ? "F" : "C"}`.replace("-", "−");
}

/** Now, by the server's clock. */
export function now(): Date {
  return new Date(Date.now() + offsetMs);
}

/** Server time less phone time [ms], as last measured. */
export function clockOffsetMs(): number {
  return offsetMs;
}

/** A moment of this phone's clock, as the server's clock would have shown it. */
export function phoneMoment(phoneMs: number): Date {
  return onServerClock(phoneMs, offsetMs);
}

/** Today in the town. */
export function today(): string {
  return localDay(now(), zone);
}

/** "2 days ago", "10 minutes ago", "just now", by the server's clock and the town's days. */
export function since(at: string): string {
  const { unit, count } = ago(at, now(), zone);
  if (unit === "now") return t("app.time.just_now");
  if (unit === "day" && count === 1) return t("app.time.yesterday");
  return new Intl.RelativeTimeFormat(locale(), { numeric: "always" }).format(-count, unit);
}

/** The time of day in the town, e.g. "10:42". */
export function clock(at: string | Date): string {
  return new Intl.DateTimeFormat(locale(), {
    timeZone: zone,
    hour: "numeric",
    minute: "2-digit",
  }).format(new Date(at));
}

/** A day in words, e.g. "Sunday 18 October"; `short` leaves out the weekday. */
export function dayWords(day: string, short = false): string {
  const at = day.length === 10 ? new Date(`${day}T12:00Z`) : new Date(day);
  return new Intl.DateTimeFormat(locale(), {
    timeZone: day.length === 10 ? "UTC" : zone,
    day: "numeric",
    month: short ? "short" : "long",
    ...(short ? {} : { weekday: "long" }),
  }).format(at);
}

/** The weekday of a day, e.g. "Friday". */
export function weekday(day: string): string {
  return new Intl.DateTimeFormat(locale(), { timeZone: "UTC", weekday: "long" }).format(
    new Date(`${day}T12:00Z`),
  );
}

/** A day soon to come as people name it: "today", "tomorrow", "Friday", or the day itself. */
export function dayAhead(day: string): string {
  const days = daysBetween(today(), day);
  if (days === 0) return t("app.time.today");
  if (days === 1) return t("app.time.tomorrow");
  return days > 1 && days < 7 ? weekday(day) : dayWords(day);
}

/** The town's day a moment falls on. */
export function dayOf(at: string | Date): string {
  return localDay(at, zone);
}

/** "today 10:42", "yesterday", "Sunday", or the day: how a person would say when it was. */
export function when(at: string): string {
  const { unit, count } = ago(at, now(), zone);
  if (unit !== "day") return t("app.time.today_at", { time: clock(at) });
  if (count === 1) return t("app.time.yesterday");
  if (count < 7) {
    return new Intl.DateTimeFormat(locale(), { timeZone: zone, weekday: "long" }).format(
      new Date(at),
    );
  }
  return dayWords(localDay(at, zone), true);
}
