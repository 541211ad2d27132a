import type { ComponentChildren } from "preact";
import { Rim } from "../components/rim";
import { overlay } from "../domain/pending";
import type { ListName } from "../domain/planter";
import { word } from "../i18n";
import { listOutbox } from "../store/outbox";
import { listPlanters, readTown } from "../store/planters";
import { readSettings } from "../store/settings";
import { Desk } from "./desk";
import { useDesk, useSignal } from "./use-frame";
import { useStored } from "./use-stored";

async function readBoard() {
  const [cards, outbox, settings, town] = await Promise.all([
    listPlanters(),
    listOutbox(),
    readSettings(),
    readTown(),
  ]);
  const unsent = new Set(outbox.map((entry) => entry.planter));
  return {
    town,
    cards: cards
      .filter((card) => card.status === "in-use" || card.status === "stored")
      .map((card) =>
        unsent.has(card.id) ? overlay(card, outbox, settings.clock_offset_ms).card : card,
      ),
  };
}

/** The planters that are cared for, with what this phone recorded laid over them, and the town. */
export function useBoard() {
  return useStored(["planters", "outbox", "town", "settings"], readBoard);
}

/** The desk's frame for a coordinator, the phone's rim with a way back for a volunteer. */
export function BoardFrame(props: {
  list: ListName;
  above?: ComponentChildren;
  children: ComponentChildren;
}) {
  const desk = useDesk("winter");
  const signal = useSignal();
  const title = word("list", props.list);
  if (desk) {
    return (
      <Desk current="winter" title={title} above={props.above}>
        {props.children}
      </Desk>
    );
  }
  return (
    <div class="desk">
      <div>
        <Rim title={title} back="/planters">
          {signal}
        </Rim>
        {props.above}
      </div>
      <main>
        <div class="stack stack--wide">{props.children}</div>
      </main>
    </div>
  );
}
