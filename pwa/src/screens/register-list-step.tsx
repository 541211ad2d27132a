import { Field } from "../components/field";
import { CheckRow } from "../components/pick-row";
import type { Problem, Register } from "../domain/planter";
import { t, word } from "../i18n";
import type { Draft } from "./list-draft";
import { wrongAt } from "./use-register";

const PROOFS: Draft["proof"][] = ["none", "photo-or-second", "place", "look"];
const APPLIES: Draft["applies_to"][] = ["all", "planted", "size", "site"];

interface Props {
  draft: Draft;
  at: number;
  last: number;
  open: boolean;
  register: Register;
  problem: Problem | null;
  onOpen: () => void;
  onChange: (draft: Draft) => void;
  onMove: (by: -1 | 1) => void;
  onRetire: () => void;
}

/** In a line: the proof it wants and whom it is for. */
function told(draft: Draft): string {
  const parts = [word("proof", draft.proof)];
  if (draft.applies_to !== "all") parts.push(word("applies", draft.applies_to));
  if (draft.fresh) parts.push(t("app.lists.new"));
  return parts.join(", ");
}

function Which({ draft, register, problem, at, onChange }: Props) {
  const site = draft.applies_to === "site";
  if (!site && draft.applies_to !== "size") return null;
  const choices = site
    ? register.sites.map((one) => ({ value: one.id, word: one.name }))
    : [...new Set(register.planters.map((one) => one.size))].map((size) => ({
        value: size,
        word: size,
      }));
  const wrong = wrongAt(problem, `/steps/${at}/which`);
  return (
    <>
      <CheckRow
        legend={t(site ? "app.lists.which_sites" : "app.lists.which_sizes")}
        cols={2}
        choices={choices}
        values={draft.which}
        onChange={(which) => onChange({ ...draft, which })}
      />
      {wrong && <p role="alert">{wrong}</p>}
    </>
  );
}

/** Proof and for whom: fixed where the verdict on a planter rests on the step. */
function Asked(props: Props) {
  const { draft, at, problem, onChange } = props;
  if (draft.kept) return <p>{t("app.lists.kept", { why: draft.kept })}</p>;
  return (
    <>
      <Field label={t("app.lists.proof")} wrong={wrongAt(problem, `/steps/${at}/proof`)}>
        <select
          value={draft.proof}
          onChange={(e) => onChange({ ...draft, proof: e.currentTarget.value as Draft["proof"] })}
        >
          {PROOFS.map((proof) => (
            <option key={proof} value={proof}>
              {word("proof", proof)}
            </option>
          ))}
        </select>
      </Field>
      <Field label={t("app.lists.applies")}>
        <select
          value={draft.applies_to}
          onChange={(e) =>
            onChange({
              ...draft,
              applies_to: e.currentTarget.value as Draft["applies_to"],
              which: [],
            })
          }
        >
          {APPLIES.map((applies) => (
            <option key={applies} value={applies}>
              {word("applies", applies)}
            </option>
          ))}
        </select>
      </Field>
      <Which {...props} />
    </>
  );
}

/** One step of a list: its place, its name, and when opened what it asks. */
export function ListStepEditor(props: Props) {
  const { draft, at, last, open, problem, onChange, onMove } = props;
  const name = draft.title || t("app.lists.unnamed");
  return (
    <li class="edit-list__step">
      <div class="edit-list__head">
        <b class="num" aria-hidden="true">
          {at + 1}
        </b>
        <button type="button" class="edit-list__name" aria-expanded={open} onClick={props.onOpen}>
          <b>{name}</b>
          <br />
          <span class="small soft">{told(draft)}</span>
        </button>
        <span class="edit-list__moves">
          <button type="button" class="btn" disabled={at === 0} onClick={() => onMove(-1)}>
            <span aria-hidden="true">↑</span>
            <span class="hidden-text">{t("app.lists.up", { step: name })}</span>
          </button>
          <button type="button" class="btn" disabled={at === last} onClick={() => onMove(1)}>
            <span aria-hidden="true">↓</span>
            <span class="hidden-text">{t("app.lists.down", { step: name })}</span>
          </button>
        </span>
      </div>
      {(open || wrongAt(problem, `/steps/${at}/title`)) && (
        <div class="stack edit-list__body">
          <Field label={t("app.lists.name")} wrong={wrongAt(problem, `/steps/${at}/title`)}>
            <input
              value={draft.title}
              maxLength={80}
              onInput={(e) => onChange({ ...draft, title: e.currentTarget.value })}
            />
          </Field>
          <Field label={t("app.lists.why")}>
            <textarea
              value={draft.why}
              maxLength={400}
              rows={2}
              onInput={(e) => onChange({ ...draft, why: e.currentTarget.value })}
            />
          </Field>
          <Asked {...props} />
          {!draft.kept && (
            <button type="button" class="btn" onClick={props.onRetire}>
              {t(draft.code ? "app.lists.retire" : "app.lists.drop")}
              <span class="hidden-text"> {name}</span>
            </button>
          )}
        </div>
      )}
    </li>
  );
}
