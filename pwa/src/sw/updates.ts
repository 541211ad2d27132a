/** The page's side of the service worker: "ready offline", and "new version: reload?", always asked. */

/** none: nothing to say. ready: works offline from now on. waiting: a new version may be taken. reload: another tab took it. */
export type Update = "none" | "ready" | "waiting" | "reload";

let update: Update = "none";
let registering: Promise<void> | null = null;
let accepted = false;
let waiting: ServiceWorker | null = null;
const listeners = new Set<(update: Update) => void>();

function say(now: Update): void {
  update = now;
  for (const listener of [...listeners]) listener(now);
}

/** What there is to say about versions now. */
export function currentUpdate(): Update {
  return update;
}

/** Calls back when that changes. Returns how to stop. */
export function onUpdate(listener: (update: Update) => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** Closes the word about being ready or about a new version; it comes again at the next opening. */
export function dismissUpdate(): void {
  say("none");
}

/** Takes the new version and reloads this tab. Only called on a person's tap. */
export function takeUpdate(): void {
  accepted = true;
  if (waiting) waiting.postMessage({ type: "SKIP_WAITING" });
  else location.reload();
}

function watch(worker: ServiceWorker): void {
  worker.addEventListener("statechange", () => {
    if (worker.state !== "installed") return;
    if (navigator.serviceWorker.controller) {
      waiting = worker;
      say("waiting");
    } else {
      say("ready");
    }
  });
}

/** Registers the worker, once. Called for members and on the way to becoming one. */
export function keepOffline(): Promise<void> {
  registering ??= register();
  return registering;
}

async function register(): Promise<void> {
  const workers = navigator.serviceWorker;
  if (!workers || import.meta.env.DEV) return;
  const hadController = Boolean(workers.controller);
  workers.addEventListener("controllerchange", () => {
    waiting = null; // it is in charge now, in every tab
    if (accepted) location.reload();
    else if (hadController) say("reload");
  });
  // A chunk of the old version is gone: the new version is already in charge.
  addEventListener("vite:preloadError", () => say("reload"));
  try {
    const registration = await workers.register("/sw.js", { updateViaCache: "none" });
    if (registration.waiting && workers.controller) {
      waiting = registration.waiting;
      say("waiting");
    }
    if (registration.installing) watch(registration.installing);
    registration.addEventListener("updatefound", () => {
      if (registration.installing) watch(registration.installing);
    });
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") void registration.update().catch(() => undefined);
    });
  } catch {
    registering = null; // no signal, or a browser that forbids it: tried again at the next opening
  }
}
