/** A file that a phone saved its unsent work to, handed to the server in parts (R30). */

import { ask } from "../api/client";
import type { components } from "../api/schema";
import type { Problem } from "../domain/planter";

type Taken = components["schemas"]["OutboxTaken"];

const FORMAT = "potrounds-outbox/1";
const AT_ONCE = 40;

interface SavedFile {
  format: string;
  phone?: string;
  records: { text: string; person?: string }[];
  photos: { sha256: string; base64: string }[];
}

/** What became of a file. `refused`: why, a line each. */
export interface FileTaken {
  stored: number;
  known: number;
  held: number;
  photos: number;
  refused: string[];
}

/** The file as it was saved, or null where it is none of ours. */
export function readOutboxFile(text: string): SavedFile | null {
  try {
    const file = JSON.parse(text) as SavedFile;
    const whole = Array.isArray(file.records) && Array.isArray(file.photos);
    return file.format === FORMAT && whole ? file : null;
  } catch {
    return null;
  }
}

/** Records first, then photos one by one. Stops where nobody answers; again is harmless. */
export async function takeInFile(
  file: SavedFile,
): Promise<{ taken: FileTaken; problem: Problem | null }> {
  const taken: FileTaken = { stored: 0, known: 0, held: 0, photos: 0, refused: [] };
  const phone = (file.phone ?? "").slice(0, 80);
  const parts: object[] = [];
  for (let at = 0; at < file.records.length; at += AT_ONCE) {
    const some = file.records.slice(at, at + AT_ONCE);
    parts.push({ records: some.map(({ text, person }) => ({ text, person: person ?? null })) });
  }
  for (const { sha256, base64 } of file.photos) {
    parts.push({ records: [], photos: [{ sha256, base64 }] });
  }
  for (const part of parts) {
    const answer = await ask<Taken>("/sync/outbox-file", {
      method: "POST",
      json: { ...part, phone },
    });
    if (answer.problem) return { taken, problem: answer.problem };
    count(taken, answer.value);
  }
  return { taken, problem: null };
}

function count(taken: FileTaken, answer: Taken): void {
  for (const result of answer.results) {
    if (result.outcome === "stored") taken.stored += 1;
    else if (result.outcome === "duplicate") taken.known += 1;
    else if (result.outcome === "held") taken.held += 1;
    else taken.refused.push(result.problem?.detail ?? "");
  }
  for (const photo of answer.photos) {
    if (photo.outcome === "stored") taken.photos += 1;
    else taken.refused.push(photo.detail);
  }
}
