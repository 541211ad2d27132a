/** A list while it is being edited: pure. */

import type { EditedStep, ListEditor } from "../actions/seasons";

type Step = ListEditor["retired"][number] & Partial<ListEditor["steps"][number]>;

export interface Draft {
  /** Stays with the step while it moves. */
  key: string;
  code: string | null;
  title: string;
  why: string;
  proof: Step["proof"];
  applies_to: Step["applies_to"];
  which: string[];
  /** Why it cannot be retired. */
  kept: string | null;
  fresh: boolean;
}

export function draftsOf(steps: readonly Step[]): Draft[] {
  return steps.map((step) => ({
    key: step.code,
    code: step.code,
    title: step.title,
    why: step.why,
    proof: step.proof,
    applies_to: step.applies_to,
    which: [...step.which],
    kept: step.kept ?? null,
    fresh: step.new ?? false,
  }));
}

let made = 0;

export function newDraft(): Draft {
  made += 1;
  return {
    key: `new ${made}`,
    code: null,
    title: "",
    why: "",
    proof: "none",
    applies_to: "all",
    which: [],
    kept: null,
    fresh: true,
  };
}

export function bodyOf(draft: Draft): EditedStep {
  const { code, title, why, proof, applies_to, which } = draft;
  return { code, title, why, proof, applies_to, which };
}

/** The list with one step moved up (-1) or down (1). */
export function moved(drafts: readonly Draft[], at: number, by: -1 | 1): Draft[] {
  const next = [...drafts];
  const [one] = next.splice(at, 1);
  if (one) next.splice(at + by, 0, one);
  return next;
}
