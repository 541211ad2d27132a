import { useEffect, useId, useState } from "preact/hooks";
import { t } from "../i18n";

export interface LitresFieldProps {
  label: string;
  hint?: string;
  /** Litres inside, whatever unit is shown. */
  value: number | null;
  onChange: (litres: number | null) => void;
  /** The shown unit, how many of it make a litre, and how far one tap goes. */
  unit: { word: string; perLitre: number; step: number };
}

const MOST_L = 500;

/** Reads what a person typed: a comma is a decimal point too, nonsense is nothing. */
export function readAmount(text: string): number | null {
  const amount = Number.parseFloat(text.trim().replace(",", "."));
  return Number.isFinite(amount) && amount >= 0 ? amount : null;
}

function shown(litres: number | null, perLitre: number): string {
  if (litres === null) return "";
  return String(Math.round(litres * perLitre * 10) / 10);
}

/** Less, the typed number, more: litres inside, litres or gallons on the plate. */
export function LitresField(props: LitresFieldProps) {
  const id = useId();
  const { unit, value, onChange } = props;
  const [text, setText] = useState(shown(value, unit.perLitre));
  useEffect(() => {
    const typed = readAmount(text);
    const same = typed === null ? value === null : shown(value, unit.perLitre) === String(typed);
    if (!same) setText(shown(value, unit.perLitre));
  }, [value, unit.perLitre]);

  const give = (amount: number | null) =>
    onChange(
      amount === null ? null : Math.min(MOST_L, Math.round((amount / unit.perLitre) * 100) / 100),
    );
  const stepBy = (by: number) => {
    const now = value === null ? 0 : value * unit.perLitre;
    const next = by > 0 ? Math.floor(now / unit.step + 1) : Math.ceil(now / unit.step - 1);
    give(Math.max(0, Math.round(next * unit.step * 10) / 10));
  };
  return (
    <div class="line">
      <label for={id}>{props.label}</label>
      <div class="litres">
        <button
          type="button"
          aria-label={t("app.litres.less", { amount: `${unit.step} ${unit.word}` })}
          onClick={() => stepBy(-1)}
        >
          −
        </button>
        <label class="litres__number" for={id}>
          <input
            id={id}
            type="text"
            inputMode="decimal"
            autocomplete="off"
            placeholder="0"
            style={{ width: `${Math.max(1, text.length) + 0.2}ch` }}
            value={text}
            onInput={(event) => {
              setText(event.currentTarget.value);
              give(readAmount(event.currentTarget.value));
            }}
            onBlur={() => setText(shown(value, unit.perLitre))}
          />
          <span>{unit.word}</span>
        </label>
        <button
          type="button"
          aria-label={t("app.litres.more", { amount: `${unit.step} ${unit.word}` })}
          onClick={() => stepBy(1)}
        >
          +
        </button>
      </div>
      {props.hint && <p class="line__hint">{props.hint}</p>}
    </div>
  );
}
