import type { ListCard } from "../domain/planter";
import { word } from "../i18n";
import { Potlet, type PotletKind } from "./potlet";

export interface WinterTileProps {
  href: string;
  name: string;
  list: ListCard;
  /** The level last known, for the water in the small pot. */
  level: number | null;
  /** The plug's place, the step that is next, or what is missing. */
  detail: string;
}

type Stage = "not" | "now" | "unproven" | "proven";

const STAGE: Record<ListCard["state"], Stage> = {
  "not-begun": "not",
  "under-way": "now",
  unproven: "unproven",
  proven: "proven",
  done: "proven",
};
const KIND: Record<Stage, PotletKind> = {
  not: "level",
  now: "draining",
  unproven: "unproven",
  proven: "proven",
};

/** One planter on the board: state by word, by outline, and by the water still in it. */
export function WinterTile({ href, name, list, level, detail }: WinterTileProps) {
  const stage = STAGE[list.state];
  return (
    <a class={`tile tile--${stage}`} href={href}>
      <Potlet kind={KIND[stage]} level={level ?? (stage === "not" ? 0.8 : 0.4)} />
      <span>
        <b>{name}</b>
        <br />
        <b>{word("list_state", `${list.list}.${list.state}`)}</b>
        <br />
        {detail}
      </span>
    </a>
  );
}
