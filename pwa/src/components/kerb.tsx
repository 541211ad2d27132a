import type { ComponentChildren } from "preact";

/** The strip under the thumb; holds the one main action. */
export function Kerb({ children }: { children: ComponentChildren }) {
  return <footer class="kerb">{children}</footer>;
}
