/** The one hook of the screens: read from the phone's store, and again when it changed. */

import { useEffect, useState } from "preact/hooks";
import { onChanged, type StoreName } from "../store/database";

/**
 * What `read` gives, undefined until the first reading. Reads again after a change in one of the
 * stores, whoever made it: this tab, another, or the worker. The network is never waited for.
 */
export function useStored<T>(
  stores: readonly StoreName[],
  read: () => Promise<T>,
  inputs: readonly unknown[] = [],
): T | undefined {
  const [value, setValue] = useState<T | undefined>(undefined);
  useEffect(() => {
    let wanted = true;
    let reading = false;
    let stale = false;
    // One reading at a time: what changes meanwhile is read once more after it, however often.
    const again = () => {
      stale = reading;
      if (reading) return;
      reading = true;
      void read()
        .then((found) => {
          if (wanted) setValue(() => found);
        })
        .finally(() => {
          reading = false;
          if (wanted && stale) again();
        });
    };
    again();
    const stop = onChanged((touched) => {
      if (touched.some((store) => stores.includes(store))) again();
    });
    return () => {
      wanted = false;
      stop();
    };
  }, [...inputs]);
  return value;
}
