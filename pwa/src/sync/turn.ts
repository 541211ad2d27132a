/** One talk at a time over all tabs and the worker of this browser (R27). */

const LOCK = "potrounds-sync";

/**
 * Runs `work` alone. A page skips when somebody else talks already (null); the worker waits, or the
 * browser would count its wake-up as served while the page's talk may yet fail. Without locks, the
 * server's idempotency is enough.
 */
export async function inTurn<T>(wait: boolean, work: () => Promise<T>): Promise<T | null> {
  const locks = globalThis.navigator?.locks;
  if (!locks) return work();
  return locks.request(LOCK, { ifAvailable: !wait }, async (lock) => (lock ? work() : null));
}
