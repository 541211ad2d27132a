/** What this phone still holds, told at the end of a talk. */

import { PATIENCE_MS, patiently } from "../api/client";
import { countHeld } from "../store/outbox";
import { readSettings, writeSettings } from "../store/settings";
import type { Tools } from "./sync";

/**
 * Tells the server what this phone still holds, of anybody who used it, once for each change: so
 * that a person can ask after work that never comes. Nothing depends on its answer.
 */
export async function sayHello(tools: Tools): Promise<void> {
  const { n, hello_said } = await readSettings();
  const { records, photos, oldest, mended } = await countHeld();
  const said = `${n} ${records} ${photos} ${mended.length}`;
  if (said === hello_said) return;
  const oldest_s = oldest === null ? null : Math.max(0, Math.round((tools.now() - oldest) / 1000));
  try {
    const response = await patiently(PATIENCE_MS, (signal) =>
      tools.fetch("/api/v1/sync/hello", {
        method: "POST",
        redirect: "error",
        signal,
        headers: { "Content-Type": "application/json", Accept: "application/json" },
        body: JSON.stringify({ n_max: n, unsent: records, photos, oldest_s, mended }),
      }),
    );
    if (response.status === 200) await writeSettings({ hello_said: said });
  } catch {
    // said again at the end of the next talk
  }
}
