/** What lies in the outbox: records made on this phone, and how far each has come. */

import type { Problem } from "./planter";
import type { AnyBody, Kind } from "./records";

/** queued: kept on this phone. sending: on its way. sent: confirmed. needs-attention: refused. */
export type OutboxState = "queued" | "sending" | "sent" | "needs-attention";

export interface OutboxEntry {
  id: string;
  kind: Kind;
  planter: string;
  /** Who made it. Only this person's session may send it (F51). */
  person: string;
  by: string;
  n: number;
  wall: string;
  /** The phone's clock at Save [ms since 1970]. */
  saved_at: number;
  /** The frozen text (R4): this, byte for byte, is what is sent. */
  text: string;
  body: AnyBody;
  photos: string[];
  state: OutboxState;
  /** The server's word once it answered. */
  outcome: "stored" | "duplicate" | "held" | null;
  note: string | null;
  seq: number | null;
  /** The server's time of its answer. */
  confirmed_at: string | null;
  /** Not before this moment of the phone's clock [ms]: the server asked for time. */
  not_before: number;
  problem: Problem | null;
  /** A later record of this phone that puts a refused one right. */
  fixed_by: string | null;
}

export type PhotoState = "queued" | "sent" | "needs-attention";

/** A photo beside its record. Bytes, not a Blob: Blobs in IndexedDB fail at random in Safari. */
export interface KeptPhoto {
  sha: string;
  bytes: ArrayBuffer;
  record: string;
  person: string;
  state: PhotoState;
  tries: number;
  not_before: number;
  problem: Problem | null;
}

/** A photo before Save: shrunk, upright, without metadata. */
export interface FreshPhoto {
  sha: string;
  bytes: ArrayBuffer;
}

/** Why nothing is being sent for now, in words the screens know. */
export type Pause = "join-again" | "not-allowed" | "address";
