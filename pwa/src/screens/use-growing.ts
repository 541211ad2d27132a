/** Draws a long list as far as it is looked at, and on when its end comes near. */

import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

const FIRST = 40;
const MORE = 60;
/** So far below the screen's edge the next part is drawn. */
const AHEAD = "800px";

/** How many of `total` to draw now, and the mark to put at the list's end. All before printing. */
export function useGrowing<T extends HTMLElement>(total: number): [number, RefObject<T | null>] {
  const [shown, setShown] = useState(FIRST);
  const end = useRef<T>(null);
  useEffect(() => {
    if (shown >= total || !end.current) return;
    const watch = new IntersectionObserver(
      (seen) => {
        if (seen.some((one) => one.isIntersecting)) setShown((now) => now + MORE);
      },
      { rootMargin: AHEAD },
    );
    watch.observe(end.current);
    return () => watch.disconnect();
  }, [shown, total]);
  useEffect(() => {
    const all = () => setShown(Number.MAX_SAFE_INTEGER);
    addEventListener("beforeprint", all);
    return () => removeEventListener("beforeprint", all);
  }, []);
  return [Math.min(shown, total), end];
}
