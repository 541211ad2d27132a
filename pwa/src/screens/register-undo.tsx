import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { type InTheWay, lookAtUndo, type UndoLook, undoChange } from "../actions/undo";
import { Caution } from "../components/caution";
import { ProblemNote } from "../components/problem-note";
import type { Problem, Register } from "../domain/planter";
import { t, tn, when } from "../i18n";
import { ChangeLine, fieldName, shownValue } from "./change-line";
import { worded } from "./use-register";

/** A table of planters may hold hundreds: a few say what is meant. */
const SHOWN = 4;

function Overwritten({ found, register }: { found: InTheWay[]; register: Register }) {
  return (
    <div class="caution" role="alert">
      <div class="stack stack--close">
        <b>{t("app.undo.edited_since")}</b>
        <ul class="stack stack--close">
          {found.map((one) => (
            <li key={`${one.name} ${one.key}`}>
              {t("app.undo.would_go", {
                what: `${one.name}, ${fieldName(one.key, register)}`,
                now: shownValue(one.key, one.now[one.key], register),
                back: shownValue(one.key, one.back[one.key], register),
              })}
              {one.by && one.at && (
                <span class="soft">
                  {" "}
                  {t("app.undo.set_by", { by: one.by, when: when(one.at) })}
                </span>
              )}
            </li>
          ))}
        </ul>
        <p>{t("app.undo.stays_listed")}</p>
      </div>
    </div>
  );
}

/** What undoing a change would do, what stands in the way, and the act itself. */
export function UndoPanel(props: { number: number; register: Register; leave: string }) {
  const { number, register, leave } = props;
  const { route } = useLocation();
  const [look, setLook] = useState<UndoLook | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [busy, setBusy] = useState(false);
  const read = useCallback(async () => {
    const answer = await lookAtUndo(number);
    setLook(answer.value ?? null);
    setProblem(answer.problem ? worded(answer.problem) : null);
  }, [number]);
  useEffect(() => {
    void read();
  }, [read]);
  // It was asked for far down the list, perhaps: whoever asked has to see it.
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    head.current?.scrollIntoView({ block: "center" });
    head.current?.focus({ preventScroll: true });
  }, [look]);
  const undo = async (seen: UndoLook) => {
    setBusy(true);
    const answer = await undoChange(number, seen.mark, seen.in_the_way.length > 0);
    setBusy(false);
    if (!answer.problem) {
      route(leave, true);
      return;
    }
    await read();
    setProblem(worded(answer.problem));
  };
  return (
    <section class="slab stack undo">
      <h2 ref={head} tabIndex={-1}>
        {t("app.undo.title")}
      </h2>
      {problem && <ProblemNote problem={problem} />}
      {look && (
        <>
          <ul class="visits changes">
            {look.changes.slice(0, SHOWN).map((change) => (
              <li key={change.number}>
                <ChangeLine change={change} register={register} />
              </li>
            ))}
          </ul>
          {look.changes.length > SHOWN && (
            <p>{tn("app.undo.and_more", look.changes.length - SHOWN)}</p>
          )}
          {look.why_not && <Caution icon="no">{look.why_not}</Caution>}
          {look.possible && look.changes.length > 1 && <p>{t("app.undo.together")}</p>}
          {look.possible && look.in_the_way.length > 0 && (
            <Overwritten found={look.in_the_way} register={register} />
          )}
        </>
      )}
      <div class="row row--wrap">
        {look?.possible && (
          <button
            type="button"
            class={look.in_the_way.length ? "btn btn--need" : "btn btn--main"}
            disabled={busy}
            onClick={() => void undo(look)}
          >
            {t(look.in_the_way.length ? "app.undo.do_over" : "app.undo.do")}
          </button>
        )}
        <a class="btn" href={leave}>
          {t(look && !look.possible ? "app.undo.back" : "app.undo.leave")}
        </a>
      </div>
    </section>
  );
}
