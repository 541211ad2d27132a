/** Hands the person a file of what waits on this phone. */

import { outboxFile } from "../store/export";

/** Saves everything not sent, or only the records named, as one JSON file. */
export async function saveOutboxFile(only?: readonly string[]): Promise<void> {
  const file = await outboxFile(only);
  const blob = new Blob([JSON.stringify(file, null, 1)], { type: "application/json" });
  const address = URL.createObjectURL(blob);
  saveFrom(address, `potrounds-${file.made_at.slice(0, 10)}-${file.records.length}.json`);
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

/** Has the browser save what is at an address, under this name or the one its answer gives. */
export function saveFrom(address: string, name = ""): void {
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
}
