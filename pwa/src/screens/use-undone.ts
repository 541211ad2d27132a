/** A screen reads again what it shows once a change was taken back. */

import { useEffect } from "preact/hooks";
import { onUndone } from "../actions/undo";

export function useUndone(read: () => Promise<void>): void {
  useEffect(() => onUndone(read), [read]);
}
