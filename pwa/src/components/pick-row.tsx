import { useId } from "preact/hooks";

export interface Choice<T extends string> {
  value: T;
  word: string;
}

interface RowProps<T extends string> {
  legend: string;
  choices: Choice<T>[];
  cols?: number;
  /** The legend is read out only, where the words around already say it. */
  quiet?: boolean;
}

function Legend({ quiet, children }: { quiet?: boolean | undefined; children: string }) {
  return <legend class={quiet ? "hidden-text" : undefined}>{children}</legend>;
}

/** One answer out of a few plates. A second tap on the chosen plate takes the answer back. */
export function PickRow<T extends string>(
  props: RowProps<T> & { value: T | null | undefined; onPick: (value: T | null) => void },
) {
  const name = useId();
  const { value, onPick } = props;
  return (
    <fieldset class="pick">
      <Legend quiet={props.quiet}>{props.legend}</Legend>
      <div class="pick__row" style={{ "--cols": props.cols ?? 2 }}>
        {props.choices.map((choice) => (
          <span key={choice.value}>
            <input
              type="radio"
              id={name + choice.value}
              name={name}
              checked={value === choice.value}
              onChange={() => onPick(choice.value)}
              onClick={() => value === choice.value && onPick(null)}
            />
            <label for={name + choice.value}>{choice.word}</label>
          </span>
        ))}
      </div>
    </fieldset>
  );
}

/** Any number of plates. */
export function CheckRow<T extends string>(
  props: RowProps<T> & { values: readonly T[]; onChange: (values: T[]) => void },
) {
  const name = useId();
  const { values, onChange } = props;
  const flip = (value: T) =>
    onChange(values.includes(value) ? values.filter((one) => one !== value) : [...values, value]);
  return (
    <fieldset class="pick">
      <Legend quiet={props.quiet}>{props.legend}</Legend>
      <div class="pick__row" style={{ "--cols": props.cols ?? 3 }}>
        {props.choices.map((choice) => (
          <span key={choice.value}>
            <input
              type="checkbox"
              id={name + choice.value}
              checked={values.includes(choice.value)}
              onChange={() => flip(choice.value)}
            />
            <label for={name + choice.value}>{choice.word}</label>
          </span>
        ))}
      </div>
    </fieldset>
  );
}
