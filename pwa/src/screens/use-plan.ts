/** What planting day rests on, as the server has it now: desk work, so it needs the network. */

import { useCallback, useEffect, useState } from "preact/hooks";
import { readPlanRegister } from "../actions/plan";
import type { Problem } from "../domain/planter";
import type { PlanRegister } from "../domain/planting";
import { type PartProps, worded } from "./use-register";
import { useUndone } from "./use-undone";

export interface PlanPartProps extends PartProps {
  plan: PlanRegister;
}

export function usePlanRegister(): {
  plan: PlanRegister | null;
  problem: Problem | null;
  reload: () => Promise<void>;
} {
  const [plan, setPlan] = useState<PlanRegister | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const reload = useCallback(async () => {
    const answer = await readPlanRegister();
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) setPlan(answer.value);
  }, []);
  useEffect(() => {
    void reload();
  }, [reload]);
  useUndone(reload);
  return { plan, problem, reload };
}

/** A typed field as a number, or null where it is empty. What is no number the server refuses. */
export const numberOrNull = (typed: string) => (typed.trim() === "" ? null : Number(typed));

/** What stands in a field for a number of the wire. */
export const shown = (value: number | null | undefined) => (value == null ? "" : String(value));
