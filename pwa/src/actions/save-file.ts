/** Hands the person a file of what waits on this phone. */

import { outboxFile } from "../store/export";

/** Saves everything not sent, or only the records named, as one JSON file. */
export async function saveOutboxFile(only?: readonly string[]): Promise<void> {
  const file = await outboxFile(only);
  const blob = new Blob([JSON.stringify(file, null, 1)], { type: "application/json" });
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = `potrounds-${file.made_at.slice(0, 10)}-${file.records.length}.json`;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
