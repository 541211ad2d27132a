import { useId, useState } from "preact/hooks";
import type { Way } from "./ways";

interface PartsNavProps {
  label: string;
  /** The entry's word on a narrow screen, before the part one is in. */
  entry: string;
  parts: Way[];
}

/** The parts of a large desk screen: all to be seen where it is wide, behind one entry where not. */
export function PartsNav({ label, entry, parts }: PartsNavProps) {
  const [open, setOpen] = useState(false);
  const id = useId();
  const here = parts.find((part) => part.current);
  return (
    <nav aria-label={label} class="folding">
      <button
        type="button"
        class="btn btn--wide btn--choice folding__entry"
        aria-expanded={open}
        aria-controls={id}
        onClick={() => setOpen(!open)}
      >
        {entry} <b>{here?.word}</b>
      </button>
      <div id={id} class={open ? "parts" : "parts folding__shut"}>
        {parts.map((part) => (
          <a
            key={part.href}
            class="btn"
            href={part.href}
            aria-current={part.current ? "page" : undefined}
            onClick={() => setOpen(false)}
          >
            {part.word}
          </a>
        ))}
      </div>
    </nav>
  );
}
