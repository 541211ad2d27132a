/** Pushes on this phone: on by a person's press only, off again, and kept alive in between. */

import { ask } from "../api/client";
import type { Problem } from "../domain/planter";
import { addressOf, toText } from "../domain/push";
import { readTown } from "../store/planters";
import { readSettings, writeSettings } from "../store/settings";

/** Whether this browser can take pushes at all, as it is open now. */
export function pushSupported(): boolean {
  return "serviceWorker" in navigator && "PushManager" in window && "Notification" in window;
}

/** What the person has let the browser show. */
export function pushPermission(): NotificationPermission {
  return pushSupported() ? Notification.permission : "denied";
}

async function manager(): Promise<PushManager | null> {
  const registration = await navigator.serviceWorker?.getRegistration();
  return registration?.pushManager ?? null;
}

/** A subscription under the town's key; one under another key gives way. */
async function subscribe(key: string): Promise<PushSubscription | null> {
  const pushes = await manager();
  if (!pushes) return null;
  const there = await pushes.getSubscription();
  const its = there?.options.applicationServerKey;
  if (there && its && toText(its) === key) return there;
  await there?.unsubscribe();
  return pushes.subscribe({ userVisibleOnly: true, applicationServerKey: key });
}

async function tellServer(key: string): Promise<Problem | null> {
  const subscription = await subscribe(key);
  const address = subscription && addressOf(subscription.toJSON());
  if (!address) return NOT_SUBSCRIBED;
  return (await ask<void>("/push", { method: "PUT", json: address })).problem ?? null;
}

/** The browser gave no address; the screen has the words. */
const NOT_SUBSCRIBED: Problem = {
  type: "/problems/push-not-subscribed",
  title: "",
  status: 0,
  detail: "",
};

/** Asks for permission, subscribes and tells the server. Only called from a person's press. */
export async function turnPushOn(key: string): Promise<Problem | null> {
  const { me } = await readSettings();
  if (!me || (await Notification.requestPermission()) !== "granted") return null;
  let problem: Problem | null;
  try {
    problem = await tellServer(key);
  } catch {
    problem = NOT_SUBSCRIBED;
  }
  if (!problem) await writeSettings({ push_for: me.person.id });
  return problem;
}

/** No more pushes on this phone, with or without signal. */
export async function turnPushOff(): Promise<void> {
  await forgetPush();
  await ask<void>("/push", { method: "DELETE" });
}

/** The phone's part of it; at signing out the server does its own. */
export async function forgetPush(): Promise<void> {
  await writeSettings({ push_for: null });
  try {
    await (await (await manager())?.getSubscription())?.unsubscribe();
  } catch {
    // the browser could not reach its service: pushes end as the server forgets the address
  }
}

/**
 * At each opening: pushes that were turned on here stay on, though the browser gave another
 * address or the town another key; those of another person end. Never asks anybody anything.
 */
export async function keepPush(): Promise<void> {
  const [{ me, push_for }, town] = await Promise.all([readSettings(), readTown()]);
  if (!push_for || !pushSupported()) return;
  if (push_for !== me?.person.id) {
    if (me) await turnPushOff();
    return;
  }
  const key = town?.push_key;
  if (!key || Notification.permission !== "granted") return;
  try {
    const there = await (await manager())?.getSubscription();
    const its = there?.options.applicationServerKey;
    if (!me.push || !its || toText(its) !== key) await tellServer(key);
  } catch {
    // no signal, or the browser's service is away: tried again at the next opening
  }
}
