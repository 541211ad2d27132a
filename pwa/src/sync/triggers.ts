/** When to talk: at opening, online, visible, after Save, on a press, and by a timer that never gives up. */

import { onRing, type Why } from "../store/bell";
import { allPhotosDue } from "../store/photos";
import { readSettings } from "../store/settings";
import { waitAfter } from "./backoff";
import { syncOnce, type Talk, type Tools } from "./sync";
import { inTurn } from "./turn";

/** With nothing waiting: how often to ask for news while the app is looked at [ms]. */
const NEWS_MS = 5 * 60_000;
/** Another tab talks: look again soon, it may be cut off [ms]. */
const TAKEN_MS = 20_000;
/** Longer than the server may ask for, jitter included [ms]. */
const LONGEST_SILENCE_MS = 2 * 60 * 60_000;
/** The name under which the browser rings the worker's bell. */
const SYNC_TAG = "outbox";

/** The real network, clock and chance. */
export function browserTools(): Tools {
  return {
    fetch: (address, init) => fetch(address, init),
    now: () => Date.now(),
    random: () => Math.random(),
    uuid: () => crypto.randomUUID(),
    client: __VERSION__,
  };
}

/** Asks the browser to ring the worker once there is a network. A bell only: it holds no data. */
async function askForBell(): Promise<void> {
  try {
    const registration = await navigator.serviceWorker?.getRegistration();
    const sync = (registration as { sync?: { register(tag: string): Promise<void> } } | undefined)
      ?.sync;
    await sync?.register(SYNC_TAG);
  } catch {
    // Safari and Firefox have none, and a person may forbid it: the timer does the work.
  }
}

const NO_TALK: Talk = { left: "some", reached: false, paused: null };

/** How long until the next talk after this one [ms]. */
function pauseAfter(talk: Talk | null, failures: number, random: () => number): number {
  if (!talk) return TAKEN_MS;
  const waitsForPerson = talk.paused === "join-again" || talk.paused === "not-allowed";
  if (talk.left !== "some" || waitsForPerson) return NEWS_MS;
  // Items asked to come later wait at least as long as one failed talk.
  return Math.max(1_000, waitAfter(Math.max(1, failures), random));
}

/** Calls back at each event of the page after which a talk may help. Returns how to stop. */
function listen(talk: (why: Why | "event") => void): () => void {
  const onEvent = () => {
    if (document.visibilityState === "visible") talk("event");
    else void askForBell();
  };
  const stopRing = onRing((why) => {
    if (why === "saved") void askForBell();
    talk(why);
  });
  addEventListener("online", onEvent);
  addEventListener("pageshow", onEvent);
  document.addEventListener("visibilitychange", onEvent);
  return () => {
    stopRing();
    removeEventListener("online", onEvent);
    removeEventListener("pageshow", onEvent);
    document.removeEventListener("visibilitychange", onEvent);
  };
}

/** Starts talking whenever it may help. Returns how to stop. */
export function startTriggers(tools: Tools = browserTools()): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let failures = 0;
  let inLine = false;
  let stopped = false;

  const sleep = (ms: number) => {
    clearTimeout(timer);
    if (!stopped) timer = setTimeout(() => void talk("timer"), ms);
  };
  const talk = async (why: Why | "timer" | "event") => {
    if (stopped || (why === "timer" && document.visibilityState === "hidden")) return;
    const { silent_until } = await readSettings();
    const silence = silent_until - tools.now();
    // A phone's clock that jumped must not silence it for a year.
    if (silence > 0 && silence < LONGEST_SILENCE_MS) return sleep(silence);
    // A talk under way may be past the outbox by now: what a person just did is next, only once.
    const byHand = why !== "timer" && why !== "event";
    if (byHand && inLine) return;
    inLine ||= byHand;
    if (why === "asked") await allPhotosDue();
    const result = await inTurn(byHand, () => {
      if (byHand) inLine = false;
      return syncOnce(tools);
    }).catch(() => {
      inLine = false;
      return NO_TALK;
    });
    if (result) failures = result.reached ? 0 : failures + 1;
    sleep(pauseAfter(result, failures, tools.random));
  };

  const stopListening = listen((why) => void talk(why));
  void talk("event");
  return () => {
    stopped = true;
    clearTimeout(timer);
    stopListening();
  };
}
