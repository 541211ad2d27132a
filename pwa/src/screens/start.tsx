/** What somebody sees who has not joined: what this is, and the ways in. */

import { useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { Kerb } from "../components/kerb";
import { PlanterCut } from "../components/planter-cut";
import { Rim } from "../components/rim";
import { fold, isValid } from "../domain/tag-code";
import { t, tn } from "../i18n";
import { countWaiting } from "../store/outbox";
import { useStored } from "./use-stored";

function PublicCode() {
  const { route } = useLocation();
  const [code, setCode] = useState("");
  const [wrong, setWrong] = useState(false);
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (isValid(code)) route(`/t/${fold(code)}`);
        else setWrong(true);
      }}
    >
      <label class="line">
        <span>{t("app.start.code")}</span>
        <input
          class="num"
          value={code}
          autocomplete="off"
          autocapitalize="characters"
          spellcheck={false}
          maxLength={20}
          placeholder="XXXX-XXXX-XXX"
          aria-invalid={wrong}
          onInput={(event) => {
            setCode(event.currentTarget.value);
            setWrong(false);
          }}
        />
        {wrong && (
          <span class="line__wrong" role="alert">
            {t("app.tag.bad")}
          </span>
        )}
      </label>
      <button type="submit" class="btn">
        {t("app.start.open")}
      </button>
    </form>
  );
}

/** The start page. */
export function StartScreen() {
  const waiting = useStored(["outbox"], () => countWaiting(null));
  return (
    <div class="field">
      <Rim title="Potrounds" />
      <main>
        <figure class="cut cut--small">
          <PlanterCut level={0.7} plants={5} />
        </figure>
        <p>{t("app.start.what")}</p>
        <p>{t("app.start.how")}</p>
        {waiting && waiting.others > 0 && (
          <p class="caution">
            <a href="/outbox">{tn("app.outbox.others", waiting.others)}</a>
          </p>
        )}
        <PublicCode />
      </main>
      <Kerb>
        <a class="act" href="/join">
          {t("app.start.join")}
        </a>
        <a class="btn btn--wide" href="/sign-in">
          {t("app.join.coordinator")}
        </a>
      </Kerb>
    </div>
  );
}
