/** Pushes on this phone: what stands in the way, or the one button to turn them on or off. */

import { useEffect, useState } from "preact/hooks";
import { pushPermission, pushSupported, turnPushOff, turnPushOn } from "../actions/push";
import { ProblemNote } from "../components/problem-note";
import type { Me, Problem } from "../domain/planter";
import { t } from "../i18n";
import { worded } from "../i18n/problems";
import { isApple, isInstalled } from "./install-hint";

type PushState = "home_screen" | "unsupported" | "town_off" | "blocked" | "on" | "off";

function stateOf(me: Me, pushFor: string | null, key: string | null): PushState {
  if (!pushSupported()) return isApple() && !isInstalled() ? "home_screen" : "unsupported";
  if (!key) return "town_off";
  if (pushPermission() === "denied") return "blocked";
  return pushFor === me.person.id && pushPermission() === "granted" ? "on" : "off";
}

/** The part of the settings about pushes. */
export function PushSwitch(props: { me: Me; pushFor: string | null; pushKey: string | null }) {
  const { me, pushFor, pushKey } = props;
  const [problem, setProblem] = useState<Problem | null>(null);
  const [busy, setBusy] = useState(false);
  const [, look] = useState(0);
  // The browser's own settings are changed elsewhere: look again when the person is back.
  useEffect(() => {
    const again = () => look((count) => count + 1);
    document.addEventListener("visibilitychange", again);
    return () => document.removeEventListener("visibilitychange", again);
  }, []);
  const state = stateOf(me, pushFor, pushKey);
  const run = async (work: () => Promise<Problem | null>) => {
    setBusy(true);
    setProblem(null);
    const wrong = await work();
    setProblem(wrong);
    setBusy(false);
  };
  const turnOff = async () => {
    await turnPushOff();
    return null;
  };
  return (
    <section class="stack" aria-live="polite">
      <h2>{t("app.push.title")}</h2>
      <p>{t(`app.push.${state}`)}</p>
      {(state === "off" || state === "on") && (
        <p class="small soft">{t(`app.push.what_${me.person.role}`)}</p>
      )}
      {problem && <ProblemNote problem={worded(problem)} />}
      {state === "off" && (
        <button
          type="button"
          class="btn"
          disabled={busy}
          onClick={() => void run(() => turnPushOn(pushKey ?? ""))}
        >
          {t("app.push.turn_on")}
        </button>
      )}
      {state === "on" && (
        <button type="button" class="btn" disabled={busy} onClick={() => void run(turnOff)}>
          {t("app.push.turn_off")}
        </button>
      )}
    </section>
  );
}
