/** All planters as this phone knows them: the server's cards under this phone's own unsent records. */

import type { OutboxEntry } from "../domain/outbox";
import { overlay } from "../domain/pending";
import { listOutbox } from "../store/outbox";
import { listPlanters, readTown } from "../store/planters";
import { readSettings } from "../store/settings";

export async function readPlanters() {
  const [cards, outbox, settings, town] = await Promise.all([
    listPlanters(),
    listOutbox(),
    readSettings(),
    readTown(),
  ]);
  const entries = new Map<string, OutboxEntry[]>();
  for (const entry of outbox) {
    entries.set(entry.planter, [...(entries.get(entry.planter) ?? []), entry]);
  }
  const shown = cards.map((card) => {
    const own = entries.get(card.id);
    return own ? overlay(card, own, settings.clock_offset_ms).card : card;
  });
  const sites = new Map(cards.map((card) => [card.site.id, card.site]));
  return {
    cards: shown,
    entries,
    town,
    me: settings.me,
    pulled: settings.cursor !== null,
    sites: [...sites.values()].sort((one, other) => one.name.localeCompare(other.name)),
  };
}
