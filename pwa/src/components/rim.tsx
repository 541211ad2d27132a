import type { ComponentChildren } from "preact";
import { t } from "../i18n";
import { Icon } from "./icons";
import { useTitle } from "./use-title";

export interface RimProps {
  title: string;
  /** Where Back leads: a link, so that it works without history. */
  back?: string;
  /** A small line above the title, and one beneath it. */
  above?: string;
  note?: ComponentChildren;
  /** Where else to go; on a phone only with `ways`, in a line of its own. */
  nav?: ComponentChildren;
  ways?: boolean;
  /** At the right of the bar: the signal. */
  children?: ComponentChildren;
}

/** The head of every screen: the lip of the pot. */
export function Rim({ title, back, above, note, nav, ways = false, children }: RimProps) {
  useTitle(title);
  const tall = above !== undefined || note !== undefined;
  return (
    <header class="rim">
      <div class="rim__bar">
        {back && (
          <a class="rim__back" href={back} aria-label={t("app.rim.back")}>
            <Icon name="back" />
          </a>
        )}
        {tall ? <span class="soft small">{above}</span> : <h1 class="head">{title}</h1>}
        {nav && <div class={ways ? "rim__nav rim__nav--ways" : "rim__nav"}>{nav}</div>}
        {children}
      </div>
      {tall && <h1>{title}</h1>}
      {note && <p class="soft small">{note}</p>}
    </header>
  );
}
