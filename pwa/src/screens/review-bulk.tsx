import { useState } from "preact/hooks";
import { saveDecisions, takeBack } from "../actions/save";
import { Kerb } from "../components/kerb";
import { Options } from "../components/options";
import { ontoRound, roundFor } from "../domain/next-round";
import type { OutboxEntry } from "../domain/outbox";
import type { Person, RoundCard } from "../domain/planter";
import type { DecisionBody } from "../domain/records";
import type { ReviewCase } from "../domain/review";
import { addDays } from "../domain/water";
import { dayWords, t, tn, today } from "../i18n";
import { QUIET_DAYS } from "./review-decide";

type Ask = "hand" | "until" | null;

export interface Done {
  words: string;
  entries: OutboxEntry[];
}

interface BulkProps {
  cases: readonly ReviewCase[];
  people: Person[];
  rounds: RoundCard[];
  onDone: (done: Done) => void;
  onClear: () => void;
}

/** Where the chosen would go: the round people were told, or the plan that is not told yet. */
function roundWords(cases: readonly ReviewCase[], rounds: readonly RoundCard[]): string {
  const found = cases.map((one) => roundFor(one.planter, rounds, today()));
  const [first] = found;
  if (!first) return t("app.review.round_planned");
  const people = [...new Set(found.map((round) => round?.person.name ?? ""))].filter(Boolean);
  return t("app.review.round_told", { day: dayWords(first.day), people: people.join(", ") });
}

/** One decision about everything chosen; each flag still gets a record of its own. */
export function BulkKerb({ cases, people, rounds, onDone, onClear }: BulkProps) {
  const [ask, setAsk] = useState<Ask>(null);
  const [to, setTo] = useState("");
  const [until, setUntil] = useState(addDays(today(), QUIET_DAYS));
  const [busy, setBusy] = useState(false);
  const decide = async (words: string, body: (one: ReviewCase) => DecisionBody) => {
    if (busy) return;
    setBusy(true);
    try {
      const entries = await saveDecisions(
        cases.map((one) => ({ planter: one.planter.id, body: body(one) })),
      );
      onDone({ words, entries });
    } finally {
      setBusy(false);
    }
  };
  const plain = (one: ReviewCase, more: Omit<DecisionBody, "flag" | "evidence">): DecisionBody => ({
    flag: one.flag.code,
    evidence: one.flag.records,
    ...more,
  });
  const count = tn("app.review.flags", cases.length);
  const name = people.find((one) => one.id === to)?.name ?? "";
  return (
    <Kerb>
      <div class="row">
        <b role="status">{tn(busy ? "app.review.keeping" : "app.review.chosen", cases.length)}</b>
        <button type="button" class="btn push" onClick={onClear}>
          {t("app.review.clear")}
        </button>
      </div>
      {ask === "hand" && (
        <div class="bulk__answer">
          <select
            aria-label={t("app.review.hand_to")}
            value={to}
            onChange={(e) => setTo(e.currentTarget.value)}
          >
            <option value="">{t("app.review.choose")}</option>
            <Options of={people} />
          </select>
          <button
            type="button"
            class="btn"
            disabled={!to}
            onClick={() =>
              decide(t("app.review.did_hand", { count, name }), (one) =>
                plain(one, { decision: "handed", to }),
              )
            }
          >
            {t("app.review.hand_now")}
          </button>
        </div>
      )}
      {ask === "until" && (
        <div class="bulk__answer">
          <input
            type="date"
            aria-label={t("app.review.until_day")}
            min={today()}
            value={until}
            onInput={(e) => setUntil(e.currentTarget.value)}
          />
          <button
            type="button"
            class="btn"
            disabled={!(until >= today())}
            onClick={() =>
              decide(t("app.review.did_until", { count, day: dayWords(until) }), (one) =>
                plain(one, { decision: "not-a-problem", until }),
              )
            }
          >
            {t("app.review.until_now")}
          </button>
        </div>
      )}
      <div class="bulk__ways">
        <button
          type="button"
          class="act"
          onClick={() =>
            decide(t("app.review.did_round", { count, where: roundWords(cases, rounds) }), (one) =>
              ontoRound(one, roundFor(one.planter, rounds, today())),
            )
          }
        >
          {t("app.review.to_round")}
        </button>
        <button
          type="button"
          class="btn"
          onClick={() =>
            decide(t("app.review.did_seen", { count }), (one) => plain(one, { decision: "seen" }))
          }
        >
          {t("app.review.seen")}
        </button>
        <button
          type="button"
          class="btn btn--choice"
          aria-expanded={ask === "hand"}
          onClick={() => setAsk(ask === "hand" ? null : "hand")}
        >
          {t("app.review.hand")}
        </button>
        <button
          type="button"
          class="btn btn--choice"
          aria-expanded={ask === "until"}
          onClick={() => setAsk(ask === "until" ? null : "until")}
        >
          {t("app.review.until")}
        </button>
      </div>
    </Kerb>
  );
}

/** What was just decided, and the way back. */
export function UndoKerb({ done, onClose }: { done: Done; onClose: (words: string) => void }) {
  const undo = async () => {
    await takeBack(done.entries);
    onClose(tn("app.review.undone", done.entries.length));
  };
  return (
    <Kerb>
      <p role="status">{done.words}</p>
      <div class="kerb__pair">
        {done.entries.length > 0 && (
          <button type="button" class="btn" onClick={() => void undo()}>
            {t("app.review.undo")}
          </button>
        )}
        <button type="button" class="btn" onClick={() => onClose("")}>
          {t("app.review.close")}
        </button>
      </div>
    </Kerb>
  );
}
