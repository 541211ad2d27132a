/** Only one talk at a time in a browser: a page skips, the worker waits. */

import { describe, expect, test, vi } from "vitest";
import { inTurn } from "../src/sync/turn";

describe("one talk at a time (R27)", () => {
  /** A lock manager with one lock, as much of it as we use. */
  function aLock() {
    let busy: Promise<unknown> = Promise.resolve();
    let held = false;
    return {
      request: async (
        _name: string,
        how: { ifAvailable: boolean },
        work: (lock: unknown) => Promise<unknown>,
      ) => {
        if (how.ifAvailable && held) return work(null);
        const before = busy;
        const mine = (async () => {
          await before;
          held = true;
          try {
            return await work({});
          } finally {
            held = false;
          }
        })();
        busy = mine.catch(() => undefined);
        return mine;
      },
    };
  }

  test("a second page skips, the worker waits for its turn", async () => {
    vi.stubGlobal("navigator", { locks: aLock() });
    const order: string[] = [];
    let finish = () => {};
    const first = inTurn(false, async () => {
      order.push("page");
      await new Promise<void>((resolve) => {
        finish = resolve;
      });
      return "talked";
    });
    await new Promise((resolve) => setTimeout(resolve));
    const second = inTurn(false, async () => order.push("second page"));
    const worker = inTurn(true, async () => order.push("worker"));
    expect(await second).toBeNull();
    expect(order).toEqual(["page"]);
    finish();
    expect(await first).toBe("talked");
    await worker;
    expect(order).toEqual(["page", "worker"]);
    vi.unstubAllGlobals();
  });
});
