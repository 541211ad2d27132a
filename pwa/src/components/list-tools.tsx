import { useId } from "preact/hooks";
import { Icon } from "./icons";
import type { Choice } from "./pick-row";

/** What a list is looked through by: a search, and a few choices beside it. */
export function SearchBox(props: { label: string; value: string; onType: (text: string) => void }) {
  return (
    <div class="search">
      <Icon name="search" />
      <input
        type="search"
        aria-label={props.label}
        placeholder={props.label}
        value={props.value}
        onInput={(event) => props.onType(event.currentTarget.value)}
      />
    </div>
  );
}

/** One choice of several, named above it. */
export function Chooser(props: {
  label: string;
  value: string;
  choices: Choice<string>[];
  onChoose: (value: string) => void;
}) {
  const id = useId();
  return (
    <div class="line">
      <label for={id}>{props.label}</label>
      <select
        id={id}
        value={props.value}
        onChange={(event) => props.onChoose(event.currentTarget.value)}
      >
        {props.choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {choice.word}
          </option>
        ))}
      </select>
    </div>
  );
}
