/** What a list is searched, sorted and filtered by stands in its address: it survives a reload. */

import { useEffect, useRef, useState } from "preact/hooks";
import { useLocation } from "preact-iso";

/** So long after the last letter the address follows [ms]; browsers limit how often it may. */
const TYPING_MS = 150;

/**
 * The values of the address under the names of `usual`, and the way to change some of them. What is
 * as usual is left out of the address. The step back leads out of the list, not through its letters.
 */
export function useQuery<T extends Record<string, string>>(
  usual: T,
): [T, (change: Partial<T>) => void] {
  const { path, query, route } = useLocation();
  const values = Object.fromEntries(
    Object.entries(usual).map(([key, value]) => [key, query[key] ?? value]),
  ) as T;
  const change = (wanted: Partial<T>) => {
    if (window.location.pathname.replace(/\/+$/, "") !== path.replace(/\/+$/, "")) return;
    const kept = new URLSearchParams(window.location.search);
    for (const [key, value] of Object.entries(wanted)) {
      if (value === undefined || value === usual[key]) kept.delete(key);
      else kept.set(key, value);
    }
    const asked = kept.toString();
    route(`${path}${asked ? `?${asked}` : ""}`, true);
  };
  return [values, change];
}

/** A text being typed, at once, and in the address when the typing pauses. */
export function useTyped(
  value: string,
  keep: (text: string) => void,
): [string, (text: string) => void] {
  const [typed, setTyped] = useState(value);
  const kept = useRef(value);
  useEffect(() => {
    if (value === kept.current) return;
    kept.current = value;
    setTyped(value);
  }, [value]);
  useEffect(() => {
    if (typed === kept.current) return;
    const timer = setTimeout(() => {
      kept.current = typed;
      keep(typed);
    }, TYPING_MS);
    return () => clearTimeout(timer);
  }, [typed]);
  return [typed, setTyped];
}
