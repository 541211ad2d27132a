import type { ComponentChildren } from "preact";
import type { Problem } from "../domain/planter";
import { Icon } from "./icons";

/** What went wrong and what to do, read out at once. `children` holds the way on. */
export function ProblemNote(props: {
  problem: Pick<Problem, "title" | "detail" | "errors">;
  todo?: string;
  children?: ComponentChildren;
}) {
  const { problem, todo, children } = props;
  return (
    <div class="caution" role="alert">
      <Icon name="warn" />
      <div class="stack stack--close">
        <b>{problem.title}</b>
        {problem.detail && <p>{problem.detail}</p>}
        {problem.errors?.length ? (
          <ul>
            {problem.errors.map((error) => (
              <li key={error.pointer + error.detail}>{error.detail}</li>
            ))}
          </ul>
        ) : null}
        {todo && <p>{todo}</p>}
        {children}
      </div>
    </div>
  );
}
