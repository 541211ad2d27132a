/** Signing a coordinator in with name and password. */

import { useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { signIn } from "../actions/session";
import { Kerb } from "../components/kerb";
import { ProblemNote } from "../components/problem-note";
import { Rim } from "../components/rim";
import type { Problem } from "../domain/planter";
import { t } from "../i18n";
import { worded } from "../i18n/problems";

/** The sign-in page; never part of a tag's address, so that no sticker can lead here (T6). */
export function SignInScreen() {
  const { route } = useLocation();
  const [name, setName] = useState("");
  const [password, setPassword] = useState("");
  const [shown, setShown] = useState(false);
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);

  const send = async (event: Event) => {
    event.preventDefault();
    if (busy || !name || !password) return;
    setBusy(true);
    setProblem(null);
    const answer = await signIn(name, password);
    setBusy(false);
    if (answer.problem) setProblem(worded(answer.problem));
    else route("/review", true);
  };

  return (
    <form class="field" onSubmit={(event) => void send(event)}>
      <Rim title={t("app.sign_in.title")} back="/" />
      <main>
        <p>{t("app.sign_in.who")}</p>
        <label class="line">
          <span>{t("app.sign_in.name")}</span>
          <input
            value={name}
            name="username"
            autocomplete="username"
            maxLength={80}
            onInput={(event) => setName(event.currentTarget.value)}
          />
        </label>
        <label class="line">
          <span>{t("app.sign_in.password")}</span>
          <input
            value={password}
            name="password"
            {...(shown ? { type: "text" } : { type: "password" })}
            autocomplete="current-password"
            maxLength={128}
            onInput={(event) => setPassword(event.currentTarget.value)}
          />
        </label>
        <button type="button" class="btn" aria-pressed={shown} onClick={() => setShown(!shown)}>
          {t("app.sign_in.show")}
        </button>
        {problem && <ProblemNote problem={problem} />}
      </main>
      <Kerb>
        <button type="submit" class="act" aria-disabled={busy || !name || !password}>
          {busy ? t("app.sign_in.busy") : t("app.sign_in.do")}
        </button>
      </Kerb>
    </form>
  );
}
