/** A bell inside one page: "something wants sending". It carries no data and owns none. */

const listeners = new Set<(why: Why) => void>();

/** saved: a record was just kept. asked: the person pressed Send now. joined: somebody signed in. */
export type Why = "saved" | "asked" | "joined";

/** Wakes whoever talks to the server, if anybody does. */
export function ring(why: Why): void {
  for (const listener of [...listeners]) listener(why);
}

/** Calls back at each ring. Returns how to stop. */
export function onRing(listener: (why: Why) => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
