import type { ComponentChildren } from "preact";

/** Name and fact, one a line; lines without a fact are left out. */
export function Facts({ facts }: { facts: [name: string, fact: ComponentChildren][] }) {
  return (
    <dl class="facts">
      {facts.map(([name, fact]) =>
        fact ? (
          <>
            <dt key={`${name} name`}>{name}</dt>
            <dd key={`${name} fact`}>{fact}</dd>
          </>
        ) : null,
      )}
    </dl>
  );
}
