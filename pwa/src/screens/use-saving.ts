/** Saving alone, however often it is pressed, and not before the photos taken lie in the form. */

import { useRef, useState } from "preact/hooks";
import { photosTaken } from "./photo-shelf";

export interface Saving {
  busy: boolean;
  /** Runs `work` unless one runs already. True: it is saved, and the screen is being left. */
  saving: (work: () => Promise<boolean>) => Promise<void>;
}

export function useSaving(): Saving {
  const [busy, setBusy] = useState(false);
  const under = useRef(false);
  const saving = async (work: () => Promise<boolean>) => {
    if (under.current) return;
    under.current = true;
    setBusy(true);
    // A photo that cannot be read is said on the form: nothing is saved without it in silence.
    if ((await photosTaken()) && (await work())) return;
    under.current = false;
    setBusy(false);
  };
  return { busy, saving };
}
