/** One talk at a time over all tabs and the worker of this browser (R27). */

const LOCK = "potrounds-sync";

/**
 * Runs `work` alone. With `wait` it is next in line: the worker, or the browser would count its
 * wake-up as served while the page's talk may yet fail; a page after a person's tap. A page that
 * merely looks skips when somebody else talks already (null). Without locks, the server's
 * idempotency is enough.
 */
export async function inTurn<T>(wait: boolean, work: () => Promise<T>): Promise<T | null> {
  const locks = globalThis.navigator?.locks;
  if (!locks) return work();
  return locks.request(LOCK, { ifAvailable: !wait }, async (lock) => (lock ? work() : null));
}
