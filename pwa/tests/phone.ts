/** A phone that has joined, and its checks-in: tests read as sentences. */

import type { FreshPhoto } from "../src/domain/outbox";
import { newCheckIn } from "../src/domain/records";
import { append, listOutbox } from "../src/store/outbox";
import { sha256 } from "../src/store/photos";
import { writeSettings } from "../src/store/settings";

export async function joined(person = "u-ines", name = "Ines"): Promise<void> {
  await writeSettings({
    device: "11111111-1111-4111-8111-111111111111",
    me: {
      person: { id: person, name, role: "volunteer" },
      device: "11111111-1111-4111-8111-111111111111",
      session_ends: "2027-01-01T00:00:00Z",
      push: false,
    },
  });
}

export async function aPhoto(content = "picture"): Promise<FreshPhoto> {
  const bytes = new TextEncoder().encode(content).buffer as ArrayBuffer;
  return { sha: await sha256(bytes), bytes };
}

export async function aCheckIn(note = "", photos: FreshPhoto[] = []): Promise<string> {
  const shas = photos.map((photo) => photo.sha);
  const { entry } = await append(
    (pen) => newCheckIn(pen, "p-library3", { level: 0.5, note, photos: shas }),
    photos,
  );
  return entry.id;
}

export async function checkIns(count: number): Promise<string[]> {
  const ids: string[] = [];
  for (let i = 0; i < count; i += 1) ids.push(await aCheckIn(`visit ${i}`));
  return ids;
}

/** State by id, in the order the records were made. */
export async function states(): Promise<string[]> {
  return (await listOutbox()).map((entry) => entry.state);
}
