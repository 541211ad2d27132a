import type { ListCard } from "../domain/planter";
import { Potlet, type PotletKind } from "./potlet";

export interface WinterTileProps {
  href: string;
  name: string;
  list: ListCard;
  /** The level last known, for the water in the small pot. */
  level: number | null;
  /** How it stands, in a word or two. */
  state: string;
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
export function WinterTile({ href, name, list, level, state, detail }: WinterTileProps) {
  const stage = STAGE[list.state];
  const wet = stage === "not" || stage === "now";
  return (
    <a class={`tile tile--${stage}`} href={href}>
      <Potlet kind={wet && level === null ? "unknown" : KIND[stage]} level={level} />
      <span>
        <b>{name}</b>
        <br />
        <b>{state}</b>
        <br />
        {detail}
      </span>
    </a>
  );
}
