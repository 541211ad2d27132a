import { useId } from "preact/hooks";
import { t, word } from "../i18n";
import { Posture } from "./posture";

const SCORES = [1, 2, 3, 4, 5];

/** Five plants from gone to thriving; the number lies under each, the word in the legend. */
export function PlantPicker(props: {
  value: number | null | undefined;
  onPick: (score: number | null) => void;
}) {
  const name = useId();
  const { value, onPick } = props;
  const legend = value
    ? t("app.plants.chosen", { score: value, word: word("plants", String(value)) })
    : t("app.plants.legend");
  return (
    <fieldset class="pick pick--plant">
      <legend>{legend}</legend>
      <div class="pick__row" style={{ "--cols": 5 }}>
        {SCORES.map((score) => (
          <span key={score}>
            <input
              type="radio"
              id={name + score}
              name={name}
              checked={value === score}
              onChange={() => onPick(score)}
              onClick={() => value === score && onPick(null)}
            />
            <label for={name + score}>
              <Posture score={score} />
              <b>{score}</b>
              <span class="hidden-text"> {word("plants", String(score))}</span>
            </label>
          </span>
        ))}
      </div>
      <p class="ends" aria-hidden="true">
        <span>{t("app.plants.low_end")}</span>
        <span>{t("app.plants.high_end")}</span>
      </p>
    </fieldset>
  );
}
