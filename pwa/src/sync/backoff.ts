/** When to try again: 2 s, doubled up to 15 minutes, full jitter, and no last attempt (R10). */

const FIRST_MS = 2_000;
const LONGEST_MS = 15 * 60_000;
const LONGEST_SILENCE_MS = 60 * 60_000;

/** How long to wait after `failures` talks in a row came to nothing [ms]. */
export function waitAfter(failures: number, random: () => number): number {
  if (failures <= 0) return 0;
  const cap = Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(failures - 1, 20));
  return Math.round(cap * random());
}

/**
 * How long to keep silent when the server asked for `seconds` [ms]: at most an hour, and up to a
 * tenth more so that all phones do not come back at once.
 */
export function silenceFor(seconds: number, random: () => number): number {
  const asked = Math.min(LONGEST_SILENCE_MS, Math.max(0, seconds) * 1000);
  return Math.round(asked * (1 + 0.1 * random()) + 1000 * random());
}
