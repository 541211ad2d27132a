import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { saveDecision } from "../actions/save";
import { Field } from "../components/field";
import { Options } from "../components/options";
import { ontoRound, roundFor } from "../domain/next-round";
import type { Person, RoundCard } from "../domain/planter";
import type { DecisionBody } from "../domain/records";
import type { ReviewCase } from "../domain/review";
import { addDays } from "../domain/water";
import { t, today, when } from "../i18n";

export const QUIET_DAYS = 14;
type Ask = "hand" | "until" | "settled" | null;

interface DecideProps {
  one: ReviewCase;
  people: Person[];
  rounds: RoundCard[];
  onDone: () => void;
}

/** The decisions about one flag. Each is a record: it works without a network. */
export function Decide({ one, people, rounds, onDone }: DecideProps) {
  const [ask, setAsk] = useState<Ask>(null);
  const [note, setNote] = useState("");
  const [until, setUntil] = useState(addDays(today(), QUIET_DAYS));
  const [to, setTo] = useState("");
  const [by, setBy] = useState(one.planter.visits.find((v) => v.kind === "check-in")?.record ?? "");
  const decide = async (more: Partial<DecisionBody> & Pick<DecisionBody, "decision">) => {
    await saveDecision(one.planter.id, {
      flag: one.flag.code,
      evidence: one.flag.records,
      note: note.trim(),
      ...more,
    });
    onDone();
  };
  const checkIns = one.planter.visits.filter((visit) => visit.kind === "check-in");
  return (
    <div class="stack">
      <label class="line">
        <span>{t("app.review.note")}</span>
        <input value={note} maxLength={500} onInput={(e) => setNote(e.currentTarget.value)} />
      </label>
      <div class="decide__ways">
        <button type="button" class="btn" onClick={() => decide({ decision: "seen" })}>
          {t("app.review.seen")}
        </button>
        <button
          type="button"
          class="btn"
          onClick={() => decide(ontoRound(one, roundFor(one.planter, rounds, today())))}
        >
          {t("app.review.to_round")}
        </button>
        <Way ask="hand" now={ask} onAsk={setAsk} words={t("app.review.hand")} />
        <Way ask="until" now={ask} onAsk={setAsk} words={t("app.review.until")} />
        <Way ask="settled" now={ask} onAsk={setAsk} words={t("app.review.settled")} />
      </div>
      {ask === "hand" && (
        <Answer
          legend={t("app.review.hand_to")}
          ready={to !== ""}
          words={t("app.review.hand_now")}
          onSave={() => decide({ decision: "handed", to })}
        >
          <select value={to} onChange={(e) => setTo(e.currentTarget.value)}>
            <option value="">{t("app.review.choose")}</option>
            <Options of={people} />
          </select>
        </Answer>
      )}
      {ask === "until" && (
        <Answer
          legend={t("app.review.until_day")}
          ready={until >= today()}
          words={t("app.review.until_now")}
          onSave={() => decide({ decision: "not-a-problem", until })}
        >
          <input
            type="date"
            min={today()}
            value={until}
            onInput={(e) => setUntil(e.currentTarget.value)}
          />
        </Answer>
      )}
      {ask === "settled" && (
        <Answer
          legend={t("app.review.settled_by")}
          ready={by !== ""}
          words={t("app.review.settled_now")}
          onSave={() => decide({ decision: "settled", check_in: by })}
        >
          <select value={by} onChange={(e) => setBy(e.currentTarget.value)}>
            {checkIns.map((visit) => (
              <option key={visit.record} value={visit.record}>
                {`${when(visit.at)}, ${visit.by}`}
              </option>
            ))}
          </select>
        </Answer>
      )}
    </div>
  );
}

function Way(props: { ask: Ask; now: Ask; words: string; onAsk: (ask: Ask) => void }) {
  const open = props.ask === props.now;
  return (
    <button
      type="button"
      class="btn btn--choice"
      aria-expanded={open}
      onClick={() => props.onAsk(open ? null : props.ask)}
    >
      {props.words}
    </button>
  );
}

function Answer(props: {
  legend: string;
  ready: boolean;
  words: string;
  onSave: () => void;
  children: ComponentChildren;
}) {
  return (
    <div class="decide__answer">
      <Field label={props.legend}>{props.children}</Field>
      <button type="button" class="act" disabled={!props.ready} onClick={props.onSave}>
        {props.words}
      </button>
    </div>
  );
}
