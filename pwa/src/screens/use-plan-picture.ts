/** A plan picture's address: from this phone if it is kept here, else from the server. */

import { useEffect, useState } from "preact/hooks";
import { photoAddress } from "../store/photos";

export interface PlanPicture {
  src: string | undefined;
  /** Neither here nor to be had. */
  away: boolean;
  onLost: () => void;
}

export function usePlanPicture(sha: string | null): PlanPicture {
  const [src, setSrc] = useState<string | undefined>(undefined);
  const [away, setAway] = useState(false);
  useEffect(() => {
    let address: string | null = null;
    let wanted = true;
    setSrc(undefined);
    setAway(false);
    if (!sha) return undefined;
    void photoAddress(sha).then((found) => {
      if (!wanted) {
        if (found) URL.revokeObjectURL(found);
        return;
      }
      address = found;
      setSrc(found ?? `/api/v1/photos/${sha}?size=full`);
    });
    return () => {
      wanted = false;
      if (address) URL.revokeObjectURL(address);
    };
  }, [sha]);
  return { src, away, onLost: () => setAway(true) };
}
