import type { ComponentChildren } from "preact";
import { useId } from "preact/hooks";
import type { Level } from "../domain/planter";
import { t, word } from "../i18n";

export interface LevelPickerProps {
  legend: string;
  /** undefined: not chosen yet, no water drawn; null: can't tell. */
  value: Level | null | undefined;
  onPick: (value: Level | null) => void;
  /** Words for the gap up to the overflow once a level is chosen. */
  gap?: { litres: string; range: string } | null;
  /** Without the last plate, where a level is asked for as proof. */
  withoutCantTell?: boolean;
  /** Stands beside the last plate. */
  beside?: ComponentChildren;
}

const MARKS: [Level, string][] = [
  [0, "empty"],
  [0.25, "quarter"],
  [0.5, "half"],
  [0.75, "three-quarters"],
  [1, "full"],
];
const GRAIN =
  "M68 27h0.1M83 33h1.9M98 33h1.9M114 27h0.1M129 22h0.1M145 21h0.1M160 34h1.0M175 18h0.1M191 35h1.0" +
  "M206 23h1.9M221 39h1.9M237 29h0.1M252 27h1.9M268 28h1.9M283 32h1.9M298 36h0.1";

/** The planter's foot: mix, walls, overflow and plug, drawn over the water. */
function Foot() {
  return (
    <svg class="level__art" viewBox="0 0 328 288" preserveAspectRatio="none" aria-hidden="true">
      <path class="d-mix" d="M13 12H315L313.5 46H15Z" />
      <path class="d-grain" d={GRAIN} />
      <path class="d-sunk" d="M26.5 264H301.5L301 272Q300 280 292 280H36Q28 280 27 272Z" />
      <path class="d-ink" d="M27 264H301" />
      <path class="d-wall" d="M13 10L27 272Q28 280 36 280H292Q300 280 301 272L315 10" />
      <path class="d-shell d-ink" d="M309 67h18v10h-19" />
      <path class="d-rim" d="M297 249h12v-4h9v18h-9v-4h-13z" />
      <rect class="d-rim" x="0" y="0" width="328" height="14" rx="3" />
      <path class="d-wick" d="M272 46h20l-5 212h-10z" />
      <path class="d-glass d-ink" d="M44 4V254H64V4Z" />
      <rect class="d-rim" x="38" y="0" width="32" height="10" rx="2" />
    </svg>
  );
}

/** Five water lines to tap, 48 px apart; by touch and by keys. */
export function LevelPicker(props: LevelPickerProps) {
  const name = useId();
  const { value, onPick, gap } = props;
  const chosen = typeof value === "number";
  const lines = chosen ? value * 4 : 0;
  return (
    <fieldset class="pick">
      <legend>{props.legend}</legend>
      <div class="level" style={{ "--level": lines }}>
        <div class="level__vessel">{chosen && value > 0 && <div class="level__water" />}</div>
        <Foot />
        {MARKS.map(([level, mark], index) => (
          <div key={mark} class="level__line" style={{ "--n": index }}>
            <input
              type="radio"
              id={name + mark}
              name={name}
              checked={value === level}
              onChange={() => onPick(level)}
            />
            <label for={name + mark}>
              <span>{word("level", mark)}</span>
            </label>
          </div>
        ))}
        {chosen && gap && value < 1 && (
          <p class="level__gap" aria-hidden="true">
            <b>{gap.litres}</b>
            {value < 0.75 && <span>{gap.range}</span>}
          </p>
        )}
      </div>
      {!props.withoutCantTell && (
        <div class="pick__row" style={{ "--cols": props.beside ? 2 : 1 }}>
          <span>
            <input
              type="radio"
              id={`${name}none`}
              name={name}
              checked={value === null}
              onChange={() => onPick(null)}
            />
            <label for={`${name}none`}>{t("app.level.cant_tell")}</label>
          </span>
          {props.beside}
        </div>
      )}
    </fieldset>
  );
}
