import { useEffect, useId, useState } from "preact/hooks";
import { readAmount } from "./litres-field";

export interface NumberLineProps {
  label: string;
  hint?: string | undefined;
  value: number | null;
  onChange: (value: number | null) => void;
  /** Nothing above this is kept. */
  most?: number;
}

/** A figure typed with a comma or a point. What is typed stays as it was typed. */
export function NumberLine({ label, hint, value, onChange, most }: NumberLineProps) {
  const id = useId();
  const [text, setText] = useState(value === null ? "" : String(value));
  useEffect(() => {
    if (readAmount(text) !== value) setText(value === null ? "" : String(value));
  }, [value]);
  return (
    <div class="line">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        inputMode="decimal"
        autocomplete="off"
        value={text}
        onInput={(event) => {
          setText(event.currentTarget.value);
          const typed = readAmount(event.currentTarget.value);
          onChange(typed !== null && most !== undefined ? Math.min(most, typed) : typed);
        }}
      />
      {hint && <p class="line__hint">{hint}</p>}
    </div>
  );
}
