/** Photos kept beside their records until the server has them. Shrinking is in shrink.ts. */

import type { KeptPhoto, OutboxEntry } from "../domain/outbox";
import { changed, withPhone, write } from "./database";

/** SHA-256 of the bytes, as lower-case hex: a photo's name everywhere. */
export async function sha256(bytes: ArrayBuffer | Uint8Array<ArrayBuffer>): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** One kept photo, or undefined. */
export async function readPhoto(sha: string): Promise<KeptPhoto | undefined> {
  return withPhone((db) => db.get("photos", sha));
}

/** An address for an <img> made from the bytes on this phone; null if they are not here. */
export async function photoAddress(sha: string): Promise<string | null> {
  const kept = (await readPhoto(sha)) ?? (await withPhone((db) => db.get("pictures", sha)));
  return kept ? URL.createObjectURL(new Blob([kept.bytes], { type: "image/jpeg" })) : null;
}

/** Photos of this person whose record the server has, oldest record first (R13). */
export async function photosToSend(person: string, nowMs: number): Promise<KeptPhoto[]> {
  return withPhone(async (db) => {
    const tx = db.transaction(["photos", "outbox"]);
    const queued = await tx.objectStore("photos").index("state").getAll("queued");
    const due: { photo: KeptPhoto; entry: OutboxEntry }[] = [];
    for (const photo of queued) {
      const entry = await tx.objectStore("outbox").get(photo.record);
      if (entry?.state === "sent" && photo.person === person && photo.not_before <= nowMs) {
        due.push({ photo, entry });
      }
    }
    return due.sort((a, b) => a.entry.saved_at - b.entry.saved_at).map(({ photo }) => photo);
  });
}

/** Changes one photo's row; its bytes and name stay. */
export async function markPhoto(sha: string, change: Partial<KeptPhoto>): Promise<void> {
  await write(["photos"], "strict", async (tx) => {
    const photos = tx.objectStore("photos");
    const kept = await photos.get(sha);
    if (kept) await photos.put({ ...kept, ...change, sha: kept.sha, bytes: kept.bytes });
  });
  changed("photos");
}

/** Drops what this phone keeps of a photo that was erased for good (R24). */
export async function forgetPhoto(sha: string): Promise<void> {
  await write(["photos", "pictures"], "strict", async (tx) => {
    await tx.objectStore("photos").delete(sha);
    await tx.objectStore("pictures").delete(sha);
  });
  changed("photos", "pictures");
}

/** Lets every photo that waits for its next try go at once: a person pressed Send now. */
export async function allPhotosDue(): Promise<void> {
  await write(["photos"], "relaxed", async (tx) => {
    const photos = tx.objectStore("photos");
    for (const photo of await photos.index("state").getAll("queued")) {
      if (photo.not_before > 0) await photos.put({ ...photo, not_before: 0 });
    }
  });
}

/** Every photo kept on this phone. */
export async function listPhotos(): Promise<KeptPhoto[]> {
  return withPhone((db) => db.getAll("photos"));
}
