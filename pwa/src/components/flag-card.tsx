import type { ComponentChildren } from "preact";
import type { FlagCard as Flag } from "../domain/planter";
import { inUnits } from "../i18n";
import { Caution } from "./caution";
import { Stake } from "./stake";

export interface FlagCardProps {
  flag: Pick<Flag, "urgency" | "name" | "sentence" | "advice" | "caution">;
  /** The planter's name, where cards of several planters stand in one list. */
  planter?: string;
  /** What was decided, and the check-ins it rests on. */
  children?: ComponentChildren;
  level?: 2 | 3;
}

/** One flag: urgency, name, the sentence with its numbers, what to do, what to beware of. */
export function FlagCard({ flag, planter, children, level = 3 }: FlagCardProps) {
  const Head = level === 2 ? "h2" : "h3";
  return (
    <section class="flag">
      <Stake urgency={flag.urgency} />
      <Head>{planter ? `${planter}: ${flag.name}` : flag.name}</Head>
      <p>{inUnits(flag.sentence)}</p>
      {flag.advice && (
        <p>
          <b>{inUnits(flag.advice)}</b>
        </p>
      )}
      {flag.caution && <Caution>{inUnits(flag.caution)}</Caution>}
      {children && <div class="wide">{children}</div>}
    </section>
  );
}
