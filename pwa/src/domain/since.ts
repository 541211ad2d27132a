/** What changed since a person last looked through the review: new, worse, cleared, decided. */

import type { FlagDecision, Looked, PlanterCard, ReviewDesk, SeenFlag, Urgency } from "./planter";

export const URGENCIES: readonly Urgency[] = ["today", "this-week", "watch"];

/** The review as this phone keeps it, beside the town's card. */
export interface KeptReview {
  id: string;
  desk: Pick<ReviewDesk, "held" | "phones">;
  looked: Looked | null;
  /** The look was taken without signal: the server does not know it yet. */
  unsent: boolean;
}

/** new: was not up. worse: more urgent than it was. back: had been kept quiet, and speaks again. */
export type News = "new" | "worse" | "back";

export interface Gone {
  planter: string;
  /** The planter's name, null where it has left the register. */
  name: string | null;
  flag: string;
  /** Somebody's visit since then, if one may have cleared it. */
  visit: { by: string; at: string } | null;
}

export interface DecidedSince {
  planter: string;
  name: string;
  flag: string;
  decision: FlagDecision;
}

export interface Since {
  at: string;
  /** By planter and flag, as the review names its cases. */
  news: Map<string, News>;
  cleared: Gone[];
  /** Decided since by anybody else. */
  decided: DecidedSince[];
}

const keyOf = (planter: string, flag: string) => `${planter} ${flag}`;

/** All flags as they stand: what is kept of a look. */
export function lookNow(planters: readonly PlanterCard[]): SeenFlag[] {
  return planters.flatMap((card) =>
    card.flags.map(({ code, name, urgency, quiet }) => ({
      planter: card.id,
      flag: code,
      name,
      urgency,
      quiet,
    })),
  );
}

function newsOf(was: SeenFlag | undefined, urgency: Urgency): News | null {
  if (!was) return "new";
  if (was.quiet) return "back";
  return URGENCIES.indexOf(urgency) < URGENCIES.indexOf(was.urgency) ? "worse" : null;
}

/** What changed since a look. `me`: the name under which own decisions stand. */
export function sinceLooked(
  planters: readonly PlanterCard[],
  looked: Looked | null,
  me: string,
): Since | null {
  if (!looked) return null;
  const cards = new Map(planters.map((card) => [card.id, card]));
  const was = new Map(looked.seen.map((one) => [keyOf(one.planter, one.flag), one]));
  const now = new Set<string>();
  const since: Since = { at: looked.at, news: new Map(), cleared: [], decided: [] };
  for (const card of planters)
    for (const flag of card.flags) {
      const key = keyOf(card.id, flag.code);
      now.add(key);
      const news = flag.quiet ? null : newsOf(was.get(key), flag.urgency);
      if (news) since.news.set(key, news);
      const { decision } = flag;
      if (decision && decision.by !== me && decision.at > looked.at)
        since.decided.push({ planter: card.id, name: card.name, flag: flag.name, decision });
    }
  for (const one of looked.seen)
    if (!one.quiet && !now.has(keyOf(one.planter, one.flag))) {
      const card = cards.get(one.planter);
      const last = card?.state.last_visit;
      since.cleared.push({
        planter: one.planter,
        name: card?.name ?? null,
        flag: one.name,
        visit: last && last.at > looked.at ? { by: last.by, at: last.at } : null,
      });
    }
  return since;
}
