/** The outbox as one file, so that a person can carry unsent work away from this phone (R14, R30). */

import { listOutbox } from "./outbox";
import { readPhoto } from "./photos";
import { deviceId, readSettings } from "./settings";

export const FORMAT = "potrounds-outbox/1";

export interface OutboxFile {
  format: typeof FORMAT;
  device: string;
  phone: string;
  made_at: string;
  records: { id: string; state: string; person: string; text: string }[];
  photos: { sha256: string; record: string; base64: string }[];
}

function base64(bytes: ArrayBuffer): string {
  const view = new Uint8Array(bytes);
  let text = "";
  for (let at = 0; at < view.length; at += 8192) {
    text += String.fromCharCode(...view.subarray(at, at + 8192));
  }
  return btoa(text);
}

/**
 * Everything not sent, or only the records named; the texts are the frozen ones (R4). Whoever is
 * signed in carries away only their own; with nobody signed in, all that is kept here.
 */
export async function outboxFile(only?: readonly string[]): Promise<OutboxFile> {
  const { me, phone_name } = await readSettings();
  const entries = (await listOutbox()).filter(
    (entry) =>
      (!me || entry.person === me.person.id) &&
      (only ? only.includes(entry.id) : entry.state !== "sent"),
  );
  const photos: OutboxFile["photos"] = [];
  for (const entry of entries) {
    for (const sha of entry.photos) {
      const kept = await readPhoto(sha);
      if (kept) photos.push({ sha256: sha, record: entry.id, base64: base64(kept.bytes) });
    }
  }
  return {
    format: FORMAT,
    device: await deviceId(),
    phone: phone_name,
    made_at: new Date().toISOString(),
    records: entries.map(({ id, state, person, text }) => ({ id, state, person, text })),
    photos,
  };
}
