/** Photos of a form that is not saved yet: shrunk, kept with the draft, shown by blob addresses. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { TakenPhoto } from "../components/photo-field";
import type { FreshPhoto } from "../domain/outbox";
import { t } from "../i18n";
import { shrink } from "../store/shrink";

export interface PhotoShelf {
  taken: TakenPhoto[];
  busy: boolean;
  trouble: string | null;
  add: (file: File) => Promise<FreshPhoto | null>;
}

/** Photos being made small, of any form. */
const underWay = new Set<Promise<FreshPhoto | null>>();

/** Waits until every photo that was taken lies in its form; false where one could not be read. */
export async function photosTaken(): Promise<boolean> {
  let readable = true;
  while (underWay.size) {
    const made = await Promise.all([...underWay]);
    readable = readable && made.every(Boolean);
  }
  return readable;
}

/** `photos` belong to the form; this hook makes addresses for them and shrinks new ones. */
export function usePhotoShelf(photos: readonly FreshPhoto[]): PhotoShelf {
  const addresses = useRef(new Map<string, string>());
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);
  useEffect(() => {
    const made = addresses.current;
    return () => {
      for (const address of made.values()) URL.revokeObjectURL(address);
      made.clear();
    };
  }, []);
  const addressOf = (photo: FreshPhoto): string => {
    let address = addresses.current.get(photo.sha);
    if (!address) {
      address = URL.createObjectURL(new Blob([photo.bytes], { type: "image/jpeg" }));
      addresses.current.set(photo.sha, address);
    }
    return address;
  };
  const make = async (file: File): Promise<FreshPhoto | null> => {
    setBusy(true);
    setTrouble(null);
    try {
      return await shrink(file);
    } catch {
      setTrouble(t("app.photo.unreadable"));
      return null;
    } finally {
      setBusy(false);
    }
  };
  const add = (file: File): Promise<FreshPhoto | null> => {
    const making = make(file);
    underWay.add(making);
    void making.then(() => underWay.delete(making));
    return making;
  };
  const taken = photos.map((photo) => ({ sha: photo.sha, url: addressOf(photo) }));
  return { taken, busy, trouble, add };
}
