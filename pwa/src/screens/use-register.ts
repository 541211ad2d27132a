/** The register as the server has it now: desk work, so it needs the network and says so. */

import { useCallback, useEffect, useState } from "preact/hooks";
import { readRegister } from "../actions/register";
import type { Problem, Register } from "../domain/planter";
import { t } from "../i18n";
import { useUndone } from "./use-undone";

export interface RegisterOnScreen {
  register: Register | null;
  problem: Problem | null;
  /** Read again, after a change. */
  reload: () => Promise<void>;
}

/** What every part of the register screen is given. */
export interface PartProps {
  register: Register;
  reload: () => Promise<void>;
}

/** A problem ready to show: the words for "no answer" are the phone's own. */
export function worded(problem: Problem): Problem {
  if (problem.status !== 0) return problem;
  return { ...problem, title: t("app.problem.no_answer"), detail: t("app.problem.desk_needs_net") };
}

/** The detail for one field of a refused request, by its JSON pointer. */
export function wrongAt(problem: Problem | null, pointer: string): string | undefined {
  return problem?.errors?.find((entry) => entry.pointer === pointer)?.detail;
}

export function useRegister(): RegisterOnScreen {
  const [register, setRegister] = useState<Register | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const reload = useCallback(async () => {
    const answer = await readRegister();
    if (answer.problem) setProblem(worded(answer.problem));
    else {
      setRegister(answer.value);
      setProblem(null);
    }
  }, []);
  useEffect(() => {
    void reload();
  }, [reload]);
  useUndone(reload);
  return { register, problem, reload };
}
