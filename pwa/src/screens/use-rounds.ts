/** Today's rounds from this phone's store, own unsent records laid over them. */

import type { OutboxEntry } from "../domain/outbox";
import type { Me, PlanterCard, RoundCard, Town } from "../domain/planter";
import type { CheckInBody } from "../domain/records";
import { emptyRound, roundsOf } from "../domain/rounds";
import { dayOf, today } from "../i18n";
import { listOutbox } from "../store/outbox";
import { listPlanters, listRounds, readTown } from "../store/planters";
import { readSettings } from "../store/settings";
import { useStored } from "./use-stored";

export interface RoundsOnScreen {
  me: Me;
  town: Town | undefined;
  planters: PlanterCard[];
  /** Own round of the day: told, or empty. */
  mine: RoundCard;
  others: RoundCard[];
  /** The next day on which this person has a round. */
  next: RoundCard | undefined;
  /** Litres poured by check-in, as far as this phone knows them. */
  poured: Map<string, number>;
  waiting: number;
}

function pouredBy(cards: readonly PlanterCard[], outbox: readonly OutboxEntry[]) {
  const found = new Map<string, number>();
  for (const card of cards)
    for (const visit of card.visits)
      if (visit.litres_l !== null) found.set(visit.record, visit.litres_l);
  for (const entry of outbox) {
    const litres = entry.kind === "check-in" ? (entry.body as CheckInBody).litres_l : null;
    if (litres != null) found.set(entry.id, litres);
  }
  return found;
}

/** Today's rounds; null when nobody has joined. */
export async function readRounds(): Promise<RoundsOnScreen | null> {
  const [rounds, outbox, town, settings, planters] = await Promise.all([
    listRounds(),
    listOutbox(),
    readTown(),
    readSettings(),
    listPlanters(),
  ]);
  const { me } = settings;
  if (!me) return null;
  const day = today();
  const naming = {
    people: [...(town?.people ?? []), me.person],
    planters: new Map(planters.map((card) => [card.id, card])),
    offset: settings.clock_offset_ms,
    dayOf,
  };
  const shown = roundsOf(day, rounds, outbox, naming);
  return {
    me,
    town,
    planters,
    mine:
      shown.find((round) => round.person.id === me.person.id) ??
      emptyRound(day, { id: me.person.id, name: me.person.name }),
    others: shown.filter((round) => round.person.id !== me.person.id && round.stops.length > 0),
    next: rounds
      .filter((round) => round.day > day && round.person.id === me.person.id)
      .sort((one, other) => one.day.localeCompare(other.day))[0],
    poured: pouredBy(planters, outbox),
    waiting: outbox.filter((entry) => entry.state !== "sent" && !entry.fixed_by).length,
  };
}

/** undefined until read, null when nobody has joined. */
export function useRounds(): RoundsOnScreen | null | undefined {
  return useStored(["rounds", "outbox", "town", "planters", "settings"], readRounds);
}

/** Own round that has been begun and not ended: whatever is checked in meanwhile belongs to it. */
export function useRoundUnderWay(): string | undefined {
  const rounds = useRounds();
  return rounds?.mine.hours?.under_way ? rounds.mine.id : undefined;
}
