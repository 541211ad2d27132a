/** The worker's part of a push: show it, open its planter on a tap, and mend a lost subscription. */

import { addressOf, readPush } from "../domain/push";

declare const self: ServiceWorkerGlobalScope;

/** In no TypeScript library. */
interface SubscriptionChange extends ExtendableEvent {
  oldSubscription?: PushSubscription | null;
  newSubscription?: PushSubscription | null;
}

async function show(event: PushEvent): Promise<void> {
  const said = readPush(event.data?.text() ?? null);
  await self.registration.showNotification(said.title, {
    body: said.body,
    tag: said.tag,
    icon: "/icons/mark-192.png",
    data: { path: said.path },
  });
}

/** In the open app where there is one: it keeps its drafts and needs no signal. Else anew. */
async function open(path: string): Promise<void> {
  const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  const page = pages.find((one) => one.visibilityState === "visible") ?? pages[0];
  if (!page) {
    await self.clients.openWindow(path);
    return;
  }
  page.postMessage({ type: "OPEN", path });
  await page.focus().catch(() => undefined);
}

async function mend(event: SubscriptionChange): Promise<void> {
  const options = event.oldSubscription?.options;
  const fresh =
    event.newSubscription ??
    (options ? await self.registration.pushManager.subscribe(options) : null);
  const address = fresh && addressOf(fresh.toJSON());
  if (!address) return; // the page does it at its next opening
  await fetch("/api/v1/push", {
    method: "PUT",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(address),
  });
}

/** Listens for pushes; called once as the worker starts. */
export function listenForPushes(): void {
  self.addEventListener("push", (event) => event.waitUntil(show(event)));
  self.addEventListener("notificationclick", (event) => {
    event.notification.close();
    const data = event.notification.data as { path?: string } | null;
    event.waitUntil(open(readPush(JSON.stringify(data ?? {})).path));
  });
  (self as EventTarget).addEventListener("pushsubscriptionchange", (event) => {
    const change = event as SubscriptionChange;
    change.waitUntil(mend(change).catch(() => undefined));
  });
}
