/** Draws a long list a part at a time, so that the first screenful can be used at once. */

import { useEffect, useState } from "preact/hooks";

const FIRST = 40;
const MORE = 60;

/** How many of `total` to draw now. All of them before printing. */
export function useGrowing(total: number): number {
  const [shown, setShown] = useState(FIRST);
  useEffect(() => {
    if (shown >= total) return;
    const timer = setTimeout(() => setShown((now) => now + MORE), 50);
    return () => clearTimeout(timer);
  }, [shown, total]);
  useEffect(() => {
    const all = () => setShown(Number.MAX_SAFE_INTEGER);
    addEventListener("beforeprint", all);
    return () => removeEventListener("beforeprint", all);
  }, []);
  return Math.min(shown, total);
}
