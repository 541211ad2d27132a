/** Small things this phone remembers: who it is, who uses it, how it speaks, where the pull stands. */

import type { Pause } from "../domain/outbox";
import type { Me } from "../domain/planter";
import { changed, withPhone, write } from "./database";

export type Units = "metric" | "us";
export type Theme = "light" | "dark" | "phone";

export interface Settings {
  /** Random id of this install (R2); made at first use. */
  device: string;
  /** Number of the last record made here (R2). */
  n: number;
  me: Me | null;
  phone_name: string;
  /** Empty: the phone's own. */
  language: string;
  /** null: as the town counts. */
  units: Units | null;
  theme: Theme;
  /** Server time less phone time [ms]. */
  clock_offset_ms: number;
  /** Where the pull stands: opaque, the server's (R21). */
  cursor: string | null;
  paused: Pause | null;
  last_answer: string | null;
  /** The last talk got an answer. Never read from the browser's "online" (R29). */
  reached: boolean;
  silent_until: number;
  /** What the server was last told that this phone still holds. */
  hello_said: string;
  /** Signed out without signal: the session still has to be ended at the server. */
  sign_out_due: boolean;
  /** Who turned pushes on here; null: nobody. */
  push_for: string | null;
}

const DEFAULTS: Settings = {
  device: "",
  n: 0,
  me: null,
  phone_name: "",
  language: "",
  units: null,
  theme: "light",
  clock_offset_ms: 0,
  cursor: null,
  paused: null,
  last_answer: null,
  reached: true,
  silent_until: 0,
  hello_said: "",
  sign_out_due: false,
  push_for: null,
};

/** Random id for this install. */
export function newDeviceId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = 0x40 | ((bytes[6] ?? 0) & 0x0f);
  bytes[8] = 0x80 | ((bytes[8] ?? 0) & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

/** All settings; what was never set has its default. */
export async function readSettings(): Promise<Settings> {
  return withPhone(async (db) => {
    const tx = db.transaction("settings");
    const [keys, values] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll()]);
    const kept = Object.fromEntries(keys.map((key, index) => [key, values[index]]));
    return { ...DEFAULTS, ...kept } as Settings;
  });
}

/** Writes the given settings in one transaction. */
export async function writeSettings(values: Partial<Settings>): Promise<void> {
  await write(["settings"], "strict", async (tx) => {
    const settings = tx.objectStore("settings");
    for (const [key, value] of Object.entries(values)) await settings.put(value, key);
  });
  changed("settings");
}

/** This install's id; the first caller makes it, and two at once agree on one. */
export async function deviceId(): Promise<string> {
  return write(["settings"], "strict", async (tx) => {
    const settings = tx.objectStore("settings");
    const known = (await settings.get("device")) as string | undefined;
    const device = known ?? newDeviceId();
    if (!known) await settings.put(device, "device");
    return device;
  });
}
