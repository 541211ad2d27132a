import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { type ChangesAsked, type ChangesPage, readChanges } from "../actions/undo";
import { Chooser, SearchBox } from "../components/list-tools";
import { ProblemNote } from "../components/problem-note";
import type { Problem, Register, RegisterChange } from "../domain/planter";
import { t, tn, when, word } from "../i18n";
import { ChangeLine } from "./change-line";
import { UndoPanel } from "./register-undo";
import { useQuery, useTyped } from "./use-query";
import { worded } from "./use-register";
import { useUndone } from "./use-undone";

const KINDS = [
  ...["planter", "site", "tag", "planting", "siting", "asset", "person", "phone", "invite"],
  ...["tap", "crew", "ways", "rounds", "calendar", "settings", "nights", "weather", "normals"],
  ...["lows", "list", "season", "size", "scheme", "materials", "visits"],
];
const USUAL = { search: "", what: "", by: "", since: "", order: "newest" };

/** Pages of changes, read anew whenever something else is asked for. */
function useChanges(asked: ChangesAsked) {
  const [page, setPage] = useState<ChangesPage | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const key = JSON.stringify(asked);
  const turn = useRef(0);
  const read = useCallback(
    async (after?: number) => {
      turn.current += 1;
      const mine = turn.current;
      const answer = await readChanges(JSON.parse(key) as ChangesAsked, after);
      if (mine !== turn.current) return;
      setProblem(answer.problem ? worded(answer.problem) : null);
      const { value } = answer;
      if (value)
        setPage((before) =>
          after === undefined || !before
            ? value
            : { changes: [...before.changes, ...value.changes], more: value.more },
        );
    },
    [key],
  );
  useEffect(() => {
    void read();
  }, [read]);
  const again = useCallback(() => read(), [read]);
  useUndone(again);
  return { page, problem, more: read };
}

function Row(props: { change: RegisterChange; register: Register; way: string }) {
  const { change, register, way } = props;
  return (
    <li>
      <div>
        <ChangeLine change={change} register={register} />
        {change.together > 1 && (
          <p class="small soft">{tn("app.changes.together", change.together)}</p>
        )}
        {change.undone && (
          <p class="small">
            <b>{t("app.changes.undone", { by: change.undone.by, when: when(change.undone.at) })}</b>
          </p>
        )}
      </div>
      {!change.undone && (
        <a class="btn" href={way}>
          {t("app.undo.ask")}
        </a>
      )}
    </li>
  );
}

function Tools(props: {
  register: Register;
  asked: typeof USUAL;
  change: (wanted: Partial<typeof USUAL>) => void;
}) {
  const { register, asked, change } = props;
  const [typed, setTyped] = useTyped(asked.search, (search) => change({ search }));
  return (
    <div class="stack list-tools">
      <SearchBox label={t("app.changes.search")} value={typed} onType={setTyped} />
      <div class="list-tools__row">
        <Chooser
          label={t("app.changes.kind")}
          value={asked.what}
          choices={[
            { value: "", word: t("app.changes.all_kinds") },
            ...KINDS.map((value) => ({ value, word: word("change_kind", value) })),
          ]}
          onChoose={(what) => change({ what })}
        />
        <Chooser
          label={t("app.changes.who")}
          value={asked.by}
          choices={[
            { value: "", word: t("app.changes.everybody") },
            ...register.people.map((one) => ({ value: one.id, word: one.name })),
            { value: "server", word: t("app.changes.server") },
          ]}
          onChoose={(by) => change({ by })}
        />
        <label class="line">
          <span>{t("app.changes.since")}</span>
          <input
            type="date"
            value={asked.since}
            onChange={(event) => change({ since: event.currentTarget.value })}
          />
        </label>
        <Chooser
          label={t("app.changes.order")}
          value={asked.order}
          choices={[
            { value: "newest", word: t("app.changes.newest") },
            { value: "oldest", word: t("app.changes.oldest") },
          ]}
          onChoose={(order) => change({ order })}
        />
      </div>
    </div>
  );
}

/** Every change of the register: who, when, what it was and what it is, and the way back. */
export function Changes({ register }: { register: Register }) {
  const { query } = useLocation();
  const [asked, change] = useQuery(USUAL);
  const { page, problem, more } = useChanges(asked);
  const kept = new URLSearchParams({ part: "changes" });
  for (const key of Object.keys(USUAL)) {
    const value = query[key];
    if (value) kept.set(key, value);
  }
  const list = `/register?${kept}`;
  const undo = Number(query.undo);
  const last = page?.changes.at(-1)?.number;
  return (
    <section class="stack">
      <h2>{t("app.changes.title")}</h2>
      {undo > 0 && <UndoPanel key={undo} number={undo} register={register} leave={list} />}
      <Tools register={register} asked={asked} change={change} />
      {problem && <ProblemNote problem={problem} />}
      {page?.changes.length === 0 && (
        <p>{t(list === "/register?part=changes" ? "app.changes.none" : "app.changes.no_match")}</p>
      )}
      <ul class="visits changes">
        {page?.changes.map((one) => (
          <Row
            key={one.number}
            change={one}
            register={register}
            way={`${list}&undo=${one.number}`}
          />
        ))}
      </ul>
      {page?.more && (
        <button type="button" class="btn" onClick={() => void more(last)}>
          {t("app.changes.more")}
        </button>
      )}
    </section>
  );
}
