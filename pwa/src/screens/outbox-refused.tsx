/** One record the server refused (R14): the reason in plain words, and three ways. None is automatic. */

import { useState } from "preact/hooks";
import { saveOutboxFile } from "../actions/save-file";
import { Icon } from "../components/icons";
import type { OutboxEntry } from "../domain/outbox";
import type { Problem } from "../domain/planter";
import type { CorrectionBody } from "../domain/records";
import { t, tn, word } from "../i18n";
import { worded } from "../i18n/problems";
import { discard } from "../store/outbox";

/** Where a refused record is put right; null for those that are simply done again. */
function fixAddress(entry: OutboxEntry): string | null {
  if (entry.kind === "check-in") return `/p/${entry.planter}/check-in?fixes=${entry.id}`;
  if (entry.kind === "correction") {
    const { replaces } = entry.body as CorrectionBody;
    return `/p/${entry.planter}/check-in?correct=${replaces}&fixes=${entry.id}`;
  }
  return null;
}

/** Asks once more, says what will be lost, and wants a word typed. */
function Discard({ entry, onLeave }: { entry: OutboxEntry; onLeave: () => void }) {
  const [typed, setTyped] = useState("");
  const wanted = t("app.outbox.discard_word");
  const fits = typed.trim().toLowerCase() === wanted.toLowerCase();
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (fits) void discard(entry.id);
      }}
    >
      <p>
        {t("app.outbox.discard_loses", { kind: word("kind", entry.kind) })}{" "}
        {entry.photos.length > 0 && tn("app.outbox.discard_photos", entry.photos.length)}
      </p>
      <label class="line">
        <span>{t("app.outbox.discard_type", { word: wanted })}</span>
        <input
          value={typed}
          autocomplete="off"
          onInput={(event) => setTyped(event.currentTarget.value)}
        />
      </label>
      <div class="row">
        <button type="submit" class="btn" aria-disabled={!fits}>
          {t("app.outbox.discard_do")}
        </button>
        <button type="button" class="btn" onClick={onLeave}>
          {t("app.outbox.discard_leave")}
        </button>
      </div>
    </form>
  );
}

/** The server's reason, each wrong entry under the name it has on the form. */
function Reason({ problem }: { problem: Problem }) {
  if (!problem.errors?.length) {
    return (
      <p>
        {problem.title}. {problem.detail}
      </p>
    );
  }
  return (
    <>
      <p>{problem.title}.</p>
      <ul>
        {problem.errors.map((error) => {
          const field = error.pointer.match(/[a-z_]+(?=(\/\d+)?$)/)?.[0] ?? "";
          return (
            <li key={error.pointer + error.detail}>
              <b>{word("field", field)}:</b> {error.detail}
            </li>
          );
        })}
      </ul>
    </>
  );
}

export interface RefusedRecordProps {
  entry: OutboxEntry;
  planter: string;
  when: string;
}

/** A refused record with its reason and its ways. */
export function RefusedRecord({ entry, planter, when }: RefusedRecordProps) {
  const [discarding, setDiscarding] = useState(false);
  const fix = fixAddress(entry);
  const problem = entry.problem ? worded(entry.problem) : null;
  return (
    <section class="slab stack">
      <h2 class="row">
        <Icon name="warn" /> {t("app.outbox.needs_you")}
      </h2>
      <p>
        <b>{planter}</b>, {word("kind", entry.kind)}, {when}
      </p>
      {problem && <Reason problem={problem} />}
      {discarding ? (
        <Discard entry={entry} onLeave={() => setDiscarding(false)} />
      ) : (
        <>
          {fix ? (
            <a class="btn btn--main" href={fix}>
              {t("app.outbox.fix")}
            </a>
          ) : (
            <a class="btn btn--main" href={`/p/${entry.planter}`}>
              {t("app.outbox.again")}
            </a>
          )}
          <button type="button" class="btn" onClick={() => void saveOutboxFile([entry.id])}>
            {t("app.outbox.save_one")}
          </button>
          <button type="button" class="btn" onClick={() => setDiscarding(true)}>
            {t("app.outbox.discard")}
          </button>
        </>
      )}
    </section>
  );
}
