/**
 * Keeps the app itself on the phone: precache, and index.html for every page address, tags' deep
 * links included. It answers nothing under /api and holds no data; on the browser's bell it runs
 * the very same talk as the page (sync/sync.ts).
 */

import {
  cleanupOutdatedCaches,
  createHandlerBoundToURL,
  type PrecacheEntry,
  precacheAndRoute,
} from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";
import { syncOnce } from "../sync/sync";
import { inTurn } from "../sync/turn";
import { listenForPushes } from "./pushes";

declare const self: ServiceWorkerGlobalScope;
declare const __PRECACHE__: PrecacheEntry[];

/** Background Sync is not in TypeScript's library. */
interface BellEvent extends ExtendableEvent {
  tag: string;
}

precacheAndRoute(__PRECACHE__);
cleanupOutdatedCaches();
registerRoute(
  new NavigationRoute(createHandlerBoundToURL("/index.html"), {
    denylist: [/^\/api\//, /^\/licences\//, /^\/robots\.txt$/],
  }),
);

self.addEventListener("message", (event) => {
  // Only on a person's word: see updates.ts.
  if ((event.data as { type?: string } | null)?.type === "SKIP_WAITING") void self.skipWaiting();
});

self.addEventListener("activate", (event) => {
  event.waitUntil(self.clients.claim());
});

listenForPushes();

(self as EventTarget).addEventListener("sync", (event) => {
  const bell = event as BellEvent;
  if (bell.tag === "outbox") bell.waitUntil(talk());
});

async function talk(): Promise<void> {
  const result = await inTurn(true, () =>
    syncOnce({
      fetch: (address, init) => fetch(address, init),
      now: () => Date.now(),
      random: () => Math.random(),
      uuid: () => crypto.randomUUID(),
      client: __VERSION__,
    }),
  );
  // A rejection makes the browser ring again later.
  if (result?.left === "some" && !result.paused) throw new Error("work still waits");
}
