import { useId, useRef, useState } from "preact/hooks";
import { Icon } from "./icons";

export interface Way {
  href: string;
  word: string;
  current?: boolean;
}

interface WaysProps {
  /** What this navigation is called. */
  label: string;
  /** The main ways: a row where there is room, else behind the one entry. */
  main: Way[];
  /** What is gone to now and then: always behind the entry. */
  more: Way[];
  /** The entry's word on a narrow screen, before the page one is at; and on a wide one. */
  menu: string;
  others: string;
}

function Links({ ways }: { ways: Way[] }) {
  return (
    <>
      {ways.map((way) => (
        <li key={way.href}>
          <a href={way.href} aria-current={way.current ? "page" : undefined}>
            {way.word}
          </a>
        </li>
      ))}
    </>
  );
}

/**
 * The ways of the desk. Narrow: one labelled entry that says where one is and opens all of them.
 * Wide: the main ways in a row, and the entry for the others. Opened by a tap or a key, never hover.
 */
export function Ways({ label, main, more, menu, others }: WaysProps) {
  const [open, setOpen] = useState(false);
  const entry = useRef<HTMLButtonElement>(null);
  const id = useId();
  const here = [...main, ...more].find((way) => way.current);
  return (
    <nav
      class="ways"
      aria-label={label}
      onKeyDown={(event) => {
        if (event.key !== "Escape" || !open) return;
        setOpen(false);
        entry.current?.focus();
      }}
    >
      <ul class="ways__row">
        <Links ways={main} />
      </ul>
      <button
        ref={entry}
        type="button"
        class="ways__entry"
        aria-expanded={open}
        aria-controls={id}
        onClick={() => setOpen(!open)}
      >
        <span class="ways__narrow">
          <Icon name="list" /> {menu}
          {here && <b>{here.word}</b>}
        </span>
        <span class="ways__wide">{others}</span>
      </button>
      <div id={id} class="ways__all" hidden={!open}>
        <ul class="ways__main">
          <Links ways={main} />
        </ul>
        <ul>
          <Links ways={more} />
        </ul>
      </div>
    </nav>
  );
}
