/** How to put the app on the home screen: there it keeps its data for good, and opens at once. */

import { useEffect, useState } from "preact/hooks";
import { Icon } from "../components/icons";
import { t } from "../i18n";

/** Chromium's event; in no TypeScript library. */
interface InstallEvent extends Event {
  prompt: () => Promise<{ outcome: string }>;
}

let offered: InstallEvent | null = null;
const listeners = new Set<() => void>();
globalThis.addEventListener?.("beforeinstallprompt", (event) => {
  event.preventDefault(); // asked by our own button, at a moment that suits
  offered = event as InstallEvent;
  for (const listener of [...listeners]) listener();
});

/** Whether the app was opened from the home screen. */
export function isInstalled(): boolean {
  const ios = (navigator as { standalone?: boolean }).standalone === true;
  return ios || matchMedia("(display-mode: standalone)").matches;
}

/** Whether this is an iPhone or an iPad. */
export function isApple(): boolean {
  // An iPad calls itself a Mac, but no Mac has a touch screen.
  return (
    /iPhone|iPad|iPod/.test(navigator.userAgent) ||
    (/Mac/.test(navigator.userAgent) && navigator.maxTouchPoints > 1)
  );
}

/** The button where the browser offers one, the steps on an iPhone, nothing once installed. */
export function InstallHint() {
  const [, again] = useState(0);
  const [done, setDone] = useState(isInstalled());
  useEffect(() => {
    const listener = () => again((count) => count + 1);
    listeners.add(listener);
    return () => {
      listeners.delete(listener);
    };
  }, []);
  if (done) return null;
  const install = async () => {
    const answer = await offered?.prompt();
    offered = null;
    if (answer?.outcome === "accepted") setDone(true);
    else again((count) => count + 1);
  };
  return (
    <section class="slab stack">
      <h2>{t("app.install.title")}</h2>
      <p>{t("app.install.why")}</p>
      {offered && (
        <button type="button" class="btn btn--main" onClick={() => void install()}>
          <Icon name="tray" /> {t("app.install.do")}
        </button>
      )}
      {!offered && isApple() && (
        <>
          <ol class="numbered">
            <li>{t("app.install.ios_share")}</li>
            <li>{t("app.install.ios_add")}</li>
            <li>{t("app.install.ios_open")}</li>
          </ol>
          <p class="small soft">{t("app.install.ios_two")}</p>
        </>
      )}
      {!offered && !isApple() && <p class="small soft">{t("app.install.menu")}</p>}
    </section>
  );
}
