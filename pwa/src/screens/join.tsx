/** Joining by an invite link. The secret leaves the address bar at once and is never kept. */

import { useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { join } from "../actions/session";
import { Kerb } from "../components/kerb";
import { ProblemNote } from "../components/problem-note";
import { Rim } from "../components/rim";
import type { Problem } from "../domain/planter";
import { t } from "../i18n";
import { worded } from "../i18n/problems";
import { readSettings } from "../store/settings";
import { useStored } from "./use-stored";

/** The secret behind the # of the link; read once, then gone from bar and history. */
function takeSecret(): string {
  const secret = location.hash.slice(1);
  if (secret) history.replaceState(history.state, "", location.pathname);
  return secret;
}

/** A pasted link or the bare secret. */
function secretOf(text: string): string {
  return text.includes("#") ? text.slice(text.indexOf("#") + 1).trim() : text.trim();
}

function LinkField({ value, onText }: { value: string; onText: (text: string) => void }) {
  return (
    <label class="line">
      <span>{t("app.join.link")}</span>
      <input
        value={value}
        autocomplete="off"
        spellcheck={false}
        onInput={(event) => onText(event.currentTarget.value)}
      />
      <span class="line__hint">{t("app.join.link_hint")}</span>
    </label>
  );
}

/** The join page. Opening it does nothing yet: only the button joins. */
export function JoinScreen() {
  const { route } = useLocation();
  const [fromLink] = useState(takeSecret);
  const [typed, setTyped] = useState("");
  const [name, setName] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const settings = useStored(["settings"], readSettings);
  const secret = fromLink || secretOf(typed);
  const shownName = name ?? settings?.me?.person.name ?? "";

  const send = async (event: Event) => {
    event.preventDefault();
    if (busy || !secret || !shownName.trim()) return;
    setBusy(true);
    setProblem(null);
    const answer = await join(secret, shownName.trim());
    setBusy(false);
    if (answer.problem) setProblem(worded(answer.problem));
    else route("/welcome", true);
  };

  return (
    <form class="field" onSubmit={(event) => void send(event)}>
      <Rim title={t("app.join.title")} back={settings?.me ? "/" : undefined} />
      <main>
        <p>{t("app.join.what")}</p>
        {!fromLink && <LinkField value={typed} onText={setTyped} />}
        <label class="line">
          <span>{t("app.join.name")}</span>
          <input
            value={shownName}
            autocomplete="given-name"
            maxLength={80}
            required
            onInput={(event) => setName(event.currentTarget.value)}
          />
          <span class="line__hint">{t("app.join.name_hint")}</span>
        </label>
        <p class="small soft">{t("app.join.kept")}</p>
        {problem && <ProblemNote problem={problem} todo={t("app.join.ask_again")} />}
      </main>
      <Kerb>
        <button type="submit" class="act" aria-disabled={busy || !secret || !shownName.trim()}>
          {busy ? t("app.join.busy") : t("app.join.do")}
        </button>
        {!settings?.me && (
          <button type="button" class="btn btn--wide" onClick={() => route("/sign-in")}>
            {t("app.join.coordinator")}
          </button>
        )}
      </Kerb>
    </form>
  );
}
