/** Times as people say them, by the server's clock: a phone's own clock may be far off. */

export interface Ago {
  unit: "now" | "minute" | "hour" | "day";
  count: number;
}

/** A phone's moment on the server's clock. `offset` is server time less phone time [ms]. */
export function onServerClock(phoneMs: number, offset: number): Date {
  return new Date(phoneMs + offset);
}

/** Server time less phone time, taking the answer to be written half way through the exchange. */
export function clockOffset(serverTime: string, sentMs: number, answeredMs: number): number | null {
  const server = Date.parse(serverTime);
  if (!Number.isFinite(server)) return null;
  return Math.round(server - (sentMs + answeredMs) / 2);
}

/** One formatter a zone: making one takes far longer than using it, and a list has hundreds of days. */
const dayFormats = new Map<string, Intl.DateTimeFormat>();

function dayFormat(zone: string): Intl.DateTimeFormat {
  let format = dayFormats.get(zone);
  if (!format) {
    format = new Intl.DateTimeFormat("en-CA", {
      timeZone: zone,
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
    });
    dayFormats.set(zone, format);
  }
  return format;
}

/** The day, YYYY-MM-DD, that a moment falls on in a time zone. */
export function localDay(at: string | Date, zone: string): string {
  const parts = dayFormat(zone).formatToParts(new Date(at));
  const part = (type: string) => parts.find((one) => one.type === type)?.value ?? "";
  return `${part("year")}-${part("month")}-${part("day")}`;
}

/** Whole days from one day to another; days are YYYY-MM-DD. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(`${to}T00:00Z`) - Date.parse(`${from}T00:00Z`)) / 86_400_000);
}

/** How long ago, counted in calendar days of the zone once it is not the same day. */
export function ago(at: string, now: Date, zone: string): Ago {
  const days = daysBetween(localDay(at, zone), localDay(now, zone));
  if (days >= 1) return { unit: "day", count: days };
  const minutes = Math.max(0, Math.floor((now.getTime() - Date.parse(at)) / 60_000));
  if (minutes < 1) return { unit: "now", count: 0 };
  if (minutes < 60) return { unit: "minute", count: minutes };
  return { unit: "hour", count: Math.floor(minutes / 60) };
}
