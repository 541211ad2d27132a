import { useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { lookAtUndo, offered, onOffer, undoChange, withdrawOffer } from "../actions/undo";
import { t } from "../i18n";

/** Where a change is looked at before it is taken back. */
export function undoWay(number: number): string {
  return `/register?part=changes&undo=${number}`;
}

function useOffer(): number | null {
  const [number, setNumber] = useState(offered());
  useEffect(() => onOffer(() => setNumber(offered())), []);
  useEffect(() => {
    if (number === null) return;
    const timer = setInterval(() => setNumber(offered()), 5000);
    return () => clearInterval(timer);
  }, [number]);
  return number;
}

/**
 * Right after an edit: it is kept, and can be undone. Where something stands in the way, or it
 * cannot be, the list of changes says so.
 */
export function UndoNote() {
  const number = useOffer();
  const { route } = useLocation();
  const [busy, setBusy] = useState(false);
  const [done, setDone] = useState(false);
  useEffect(() => {
    if (number !== null) setDone(false);
  }, [number]);
  if (number === null && !done) return null;
  const undo = async (change: number) => {
    setBusy(true);
    const { value } = await lookAtUndo(change);
    const plain = value?.possible && !value.in_the_way.length && value.changes.length === 1;
    const answer = plain ? await undoChange(change, value.mark, false) : null;
    setBusy(false);
    if (answer && !answer.problem) {
      withdrawOffer();
      setDone(true);
    } else route(undoWay(change));
  };
  return (
    <div class="undo-note no-print" role="status">
      <span>{number === null ? t("app.undo.done") : t("app.undo.kept")}</span>
      {number !== null && (
        <button type="button" class="btn" disabled={busy} onClick={() => void undo(number)}>
          {t("app.undo.do")}
        </button>
      )}
      <button
        type="button"
        class="btn btn--plain"
        onClick={() => {
          setDone(false);
          withdrawOffer();
        }}
      >
        {t("app.undo.close")}
      </button>
    </div>
  );
}
