import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { onUndone } from "../actions/undo";
import { Icon } from "../components/icons";
import { useTitle } from "../components/use-title";
import { UndoNote } from "./undo-note";
import { type DeskPage, useDesk, useSignal } from "./use-frame";

interface DeskProps {
  current: DeskPage;
  title: string;
  /** Stands between the rim and the page: the winter count. */
  above?: ComponentChildren;
  /** The one raised part at the right, under the list on a phone. */
  aside?: ComponentChildren;
  /** The strip under the thumb, while there is something to do with what was chosen. */
  kerb?: ComponentChildren;
  children?: ComponentChildren;
}

/** A desk screen: town, ways and signal on the rim, the list, and at most one raised part. */
export function Desk({ current, title, above, aside, kerb, children }: DeskProps) {
  useTitle(title);
  const desk = useDesk(current);
  const signal = useSignal();
  const [turn, setTurn] = useState(0);
  // Parts read for themselves and hold what is typed: after an undo they begin anew.
  useEffect(() => onUndone(async () => setTurn((count) => count + 1), "last"), []);
  return (
    <div class={`desk${aside ? " desk--split" : ""}`}>
      <header class="rim">
        <a class="mark" href="/">
          <Icon name="mark" /> {desk?.town}
        </a>
        {desk?.nav}
        <span class="soft push">{desk?.who}</span>
        {signal}
      </header>
      <div>
        {above}
        <main key={turn}>
          <div class="stack stack--wide">
            <h1 class={above ? "hidden-text" : undefined}>{title}</h1>
            {children}
          </div>
          {aside && <aside class="stack">{aside}</aside>}
        </main>
        <UndoNote />
      </div>
      {kerb}
    </div>
  );
}
