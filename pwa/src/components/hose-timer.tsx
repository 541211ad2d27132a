import { useEffect, useState } from "preact/hooks";
import { Icon } from "./icons";

export interface HoseTimerProps {
  /** Phone clock at the start [ms], null while it does not run: kept by the caller, so a reload keeps it. */
  startedAt: number | null;
  onStart: (nowMs: number) => void;
  onStop: (seconds: number) => void;
  startWords: string;
  stopWords: string;
  /** Words for the water that has run so far. */
  ranWords: (seconds: number) => string;
}

/** Keeps the screen awake while the water runs, where the phone can; again after a look elsewhere. */
function useAwake(wanted: boolean): void {
  useEffect(() => {
    if (!wanted || !navigator.wakeLock) return;
    let lock: WakeLockSentinel | null = null;
    let over = false;
    const ask = () => {
      if (document.visibilityState !== "visible") return;
      navigator.wakeLock.request("screen").then(
        (got) => {
          if (over) void got.release();
          else lock = got;
        },
        () => undefined, // a low battery says no: the count goes on all the same
      );
    };
    ask();
    document.addEventListener("visibilitychange", ask);
    return () => {
      over = true;
      document.removeEventListener("visibilitychange", ask);
      void lock?.release();
    };
  }, [wanted]);
}

/** Measures water by the time the hose runs. Counts from the start's moment, never from ticks. */
export function HoseTimer(props: HoseTimerProps) {
  const { startedAt } = props;
  const [now, setNow] = useState(Date.now());
  useAwake(startedAt !== null);
  useEffect(() => {
    if (startedAt === null) return;
    setNow(Date.now());
    const tick = setInterval(() => setNow(Date.now()), 1000);
    return () => clearInterval(tick);
  }, [startedAt]);
  if (startedAt === null) {
    return (
      <button
        type="button"
        class="btn btn--main btn--wide"
        onClick={() => props.onStart(Date.now())}
      >
        <Icon name="timer" /> {props.startWords}
      </button>
    );
  }
  const seconds = Math.max(0, (now - startedAt) / 1000);
  return (
    <div class="stack">
      <p class="num">
        <b>{props.ranWords(seconds)}</b>
      </p>
      <button
        type="button"
        class="btn btn--main btn--wide"
        onClick={() => props.onStop(Math.max(0, (Date.now() - startedAt) / 1000))}
      >
        {props.stopWords}
      </button>
    </div>
  );
}
