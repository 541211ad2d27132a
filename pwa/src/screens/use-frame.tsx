/** What heads every screen: whether this phone's work has arrived, and the desk's ways. */

import type { VNode } from "preact";
import { Signal } from "../components/signal";
import { Ways } from "../components/ways";
import { clock, t, tn } from "../i18n";
import { countWaiting, type Waiting } from "../store/outbox";
import { readTown } from "../store/planters";
import { readSettings, type Settings } from "../store/settings";
import { useStored } from "./use-stored";

/** Words and outline of the signal, by what needs a person first. */
export function signalWords(
  settings: Pick<Settings, "paused" | "last_answer" | "reached">,
  waiting: Waiting,
): { words: string; kind: "on" | "off" | "need" } {
  if (settings.paused === "join-again") return { words: t("app.signal.join_again"), kind: "need" };
  if (settings.paused === "not-allowed")
    return { words: t("app.signal.not_allowed"), kind: "need" };
  if (waiting.attention)
    return { words: tn("app.signal.needs_you", waiting.attention), kind: "need" };
  const count = waiting.records + waiting.photos;
  if (count) return { words: tn("app.signal.waiting", count), kind: "off" };
  if (!settings.reached) return { words: t("app.signal.no_signal"), kind: "off" };
  if (!settings.last_answer) return { words: t("app.signal.nothing_yet"), kind: "off" };
  return { words: t("app.signal.all_sent", { time: clock(settings.last_answer) }), kind: "on" };
}

/** The signal for the rim of any member's screen; it leads to the outbox. */
export function useSignal(): VNode | null {
  const state = useStored(["settings", "outbox", "photos"], async () => {
    const settings = await readSettings();
    return { settings, waiting: await countWaiting(settings.me?.person.id ?? null) };
  });
  if (!state?.settings.me) return null;
  return <Signal {...signalWords(state.settings, state.waiting)} href="/outbox" />;
}

export type DeskPage =
  | "review"
  | "planters"
  | "siteplan"
  | "rounds"
  | "winter"
  | "register"
  | "people"
  | "planting"
  | "report"
  | "freeze"
  | "settings";
const WAYS: [DeskPage, string][] = [
  ["review", "/review"],
  ["planters", "/planters"],
  ["siteplan", "/siteplan"],
  ["rounds", "/rounds"],
  ["winter", "/winter"],
  ["register", "/register"],
  ["people", "/people"],
];
const MORE: [DeskPage, string][] = [
  ["planting", "/planting"],
  ["report", "/report"],
  ["freeze", "/freeze"],
  ["settings", "/settings"],
];

export interface DeskHead {
  town: string;
  nav: VNode;
  who: string;
}

/** Town, ways and name for the rim of a desk screen; null for anybody but a coordinator. */
export function useDesk(current: DeskPage): DeskHead | null {
  const head = useStored(["settings", "town"], async () => {
    const [settings, town] = await Promise.all([readSettings(), readTown()]);
    return { me: settings.me, town: town?.name ?? "Potrounds" };
  });
  if (head?.me?.person.role !== "coordinator") return null;
  const ways = (pages: [DeskPage, string][]) =>
    pages.map(([page, href]) => ({ href, word: t(`app.desk.${page}`), current: page === current }));
  const nav = (
    <Ways
      label={t("app.desk.ways")}
      menu={t("app.desk.menu")}
      others={t("app.desk.more")}
      main={ways(WAYS)}
      more={ways(MORE)}
    />
  );
  return { town: head.town, nav, who: head.me.person.name };
}
