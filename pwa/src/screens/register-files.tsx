import { useState } from "preact/hooks";
import { FILES, importVisits, saveWholeTown } from "../actions/report";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t, word } from "../i18n";
import { FileImport } from "./file-import";
import { OutboxImport } from "./outbox-import";
import { worded } from "./use-register";

const COLUMNS =
  "planter, day, time, by, level, read_by, litres_l, litres_gal, litres_how, overhead_l, overflow, " +
  "plants_1_to_5, signs, done, plug, feed_what, feed_strength, note";

/** The whole town in one file, after the password was typed once more. */
function WholeTown() {
  const [password, setPassword] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const [state, setState] = useState<"asks" | "busy" | "saved">("asks");
  const save = async (event: Event) => {
    event.preventDefault();
    if (!password || state === "busy") return;
    setState("busy");
    const answer = await saveWholeTown(password);
    setPassword("");
    setState(answer.problem ? "asks" : "saved");
    setProblem(answer.problem ? worded(answer.problem) : null);
  };
  return (
    <form class="slab stack files__town" onSubmit={(event) => void save(event)}>
      <h2>{word("files_of", "town")}</h2>
      <p class="soft">{word("files_hint", "town")}</p>
      <Field label={t("app.files.town_password")} hint={t("app.files.town_why")}>
        <input
          type="password"
          autocomplete="current-password"
          maxLength={128}
          value={password}
          onInput={(event) => setPassword(event.currentTarget.value)}
        />
      </Field>
      {problem && <ProblemNote problem={problem} />}
      {state === "saved" && <p role="status">{t("app.files.town_ready")}</p>}
      <button type="submit" class="btn" aria-disabled={!password || state === "busy"}>
        {t(state === "busy" ? "app.files.town_busy" : "app.files.town_save")}
      </button>
      <Caution>{t("app.files.keep_safe")}</Caution>
    </form>
  );
}

/** Everything as a file, and visits of the past from one. */
export function Files({ reload }: { reload: () => Promise<void> }) {
  return (
    <div class="stack stack--wide">
      <section class="stack">
        <h2>{t("app.files.out")}</h2>
        <ul class="files">
          {Object.entries(FILES).map(([name, address]) => (
            <li key={name} class="stack stack--close">
              <a class="btn" href={address} download>
                {word("files_of", name)}
              </a>
              <p class="small soft">{word("files_hint", name)}</p>
            </li>
          ))}
        </ul>
      </section>
      <WholeTown />
      <FileImport
        title={t("app.files.visits")}
        columns={COLUMNS}
        hint={t("app.files.visits_hint")}
        words="app.files.take_in"
        take={importVisits}
        reload={reload}
      />
      <OutboxImport reload={reload} />
    </div>
  );
}
