/** One planter as its screens show it: the last known card with this phone's own records over it. */

import { overlay, type PlanterView } from "../domain/pending";
import type { Me, Town } from "../domain/planter";
import { entriesFor } from "../store/outbox";
import { readPlanter, readTown } from "../store/planters";
import { readSettings } from "../store/settings";
import { useStored } from "./use-stored";

export interface PlanterOnScreen {
  view: PlanterView;
  town: Town | undefined;
  me: Me | null;
}

/** undefined until read, null when this phone knows no such planter. */
export function usePlanter(id: string): PlanterOnScreen | null | undefined {
  return useStored(["planters", "outbox", "town", "settings"], async () => {
    const [card, entries, town, settings] = await Promise.all([
      readPlanter(id),
      entriesFor(id),
      readTown(),
      readSettings(),
    ]);
    if (!card) return null;
    return { view: overlay(card, entries, settings.clock_offset_ms), town, me: settings.me };
  }, [id]);
}
