import { useState } from "preact/hooks";
import { fold, isValid } from "../domain/tag-code";
import { t } from "../i18n";

/** A tag's code typed by hand: look-alikes are folded, a slip is told before anything is opened. */
export function CodeField(props: {
  label: string;
  open: string;
  onCode: (code: string) => void;
  /** What to say of a code that cannot be one. */
  wrong: (typed: string) => string;
}) {
  const [text, setText] = useState("");
  const [wrong, setWrong] = useState(false);
  const send = (event: Event) => {
    event.preventDefault();
    if (isValid(text)) props.onCode(fold(text));
    else setWrong(true);
  };
  return (
    <form class="stack" onSubmit={send}>
      <label class="line">
        <span>{props.label}</span>
        <input
          class="num"
          value={text}
          autocomplete="off"
          autocapitalize="characters"
          spellcheck={false}
          maxLength={20}
          placeholder={t("app.tag.shape")}
          aria-invalid={wrong}
          onInput={(event) => {
            setText(event.currentTarget.value);
            setWrong(false);
          }}
        />
      </label>
      {wrong && (
        <p class="line__wrong" role="alert">
          {props.wrong(text)}
        </p>
      )}
      <button type="submit" class="btn">
        {props.open}
      </button>
    </form>
  );
}
