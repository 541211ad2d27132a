import { useCallback, useEffect, useState } from "preact/hooks";
import { type ListEditor, putList, readLists } from "../actions/seasons";
import { Caution } from "../components/caution";
import { ProblemNote } from "../components/problem-note";
import type { ListName, Problem } from "../domain/planter";
import { dayWords, t, when, word } from "../i18n";
import { bodyOf, type Draft, draftsOf, moved, newDraft } from "./list-draft";
import { ListStepEditor } from "./register-list-step";
import { useQuery } from "./use-query";
import { type PartProps, worded } from "./use-register";

/** What an edit means for those who are under way. */
function Meaning({ list }: { list: ListEditor }) {
  return (
    <div class="stack stack--close">
      {list.begun && (
        <Caution>
          {t("app.lists.begun", {
            list: word("list", list.list),
            season: list.season,
            day: dayWords(list.begins),
          })}
        </Caution>
      )}
      <p>{list.begun ? t("app.lists.in_season") : t("app.lists.before_season")}</p>
    </div>
  );
}

function Retired({ drafts, onBack }: { drafts: Draft[]; onBack: (draft: Draft) => void }) {
  if (!drafts.length) return null;
  return (
    <section class="stack">
      <h3>{t("app.lists.retired")}</h3>
      <ul class="stack stack--close">
        {drafts.map((draft) => (
          <li key={draft.key} class="row row--wrap">
            <span>{draft.title}</span>
            <button type="button" class="btn push" onClick={() => onBack(draft)}>
              {t("app.lists.put_back")}
              <span class="hidden-text"> {draft.title}</span>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

interface EditProps extends Pick<PartProps, "register"> {
  list: ListEditor;
  onKept: () => Promise<void>;
}

/** One list as it is being edited; nothing is changed before Keep. */
function Edit({ list, register, onKept }: EditProps) {
  const [drafts, setDrafts] = useState(() => draftsOf(list.steps));
  const [retired, setRetired] = useState(() => draftsOf(list.retired));
  const [open, setOpen] = useState<string | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const change = (at: number, draft: Draft) =>
    setDrafts(drafts.map((one, index) => (index === at ? draft : one)));
  const retire = (at: number) => {
    const gone = drafts[at];
    setDrafts(drafts.filter((_, index) => index !== at));
    if (gone?.code) setRetired([...retired, gone]);
  };
  const add = (draft: Draft) => {
    setDrafts([...drafts, draft]);
    setOpen(draft.key);
  };
  const keep = async () => {
    const answer = await putList(list.list, list.version, drafts.map(bodyOf));
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) await onKept();
  };
  return (
    <section class="stack">
      <Meaning list={list} />
      <ol class="edit-list">
        {drafts.map((draft, index) => (
          <ListStepEditor
            key={draft.key}
            draft={draft}
            at={index}
            last={drafts.length - 1}
            open={open === draft.key}
            register={register}
            problem={problem}
            onOpen={() => setOpen(open === draft.key ? null : draft.key)}
            onChange={(next) => change(index, next)}
            onMove={(by) => setDrafts(moved(drafts, index, by))}
            onRetire={() => retire(index)}
          />
        ))}
      </ol>
      <button type="button" class="btn" onClick={() => add(newDraft())}>
        {t("app.lists.add")}
      </button>
      <Retired
        drafts={retired}
        onBack={(draft) => {
          setRetired(retired.filter((one) => one !== draft));
          add(draft);
        }}
      />
      {problem && <ProblemNote problem={problem} />}
      <button type="button" class="act" onClick={() => void keep()}>
        {t("app.lists.keep")}
      </button>
      {list.editions.length > 0 && (
        <p class="soft">
          {t("app.lists.last_edit", {
            when: when(list.editions[0]?.at ?? ""),
            by: list.editions[0]?.by ?? "",
          })}
        </p>
      )}
    </section>
  );
}

/** Winterization and start-up, step by step, as the coordinator wants them. */
export function Lists({ register, reload }: PartProps) {
  const [lists, setLists] = useState<ListEditor[] | null>(null);
  const [asked, change] = useQuery({ list: "winterization" });
  const name: ListName = asked.list === "start-up" ? "start-up" : "winterization";
  const [problem, setProblem] = useState<Problem | null>(null);
  const [kept, setKept] = useState(false);
  const read = useCallback(async () => {
    const answer = await readLists();
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) setLists(answer.value.lists);
  }, []);
  useEffect(() => {
    void read();
  }, [read]);
  const list = lists?.find((one) => one.list === name);
  return (
    <section class="stack stack--wide">
      <h2>{t("app.lists.title")}</h2>
      <div class="parts">
        {lists?.map((one) => (
          <button
            key={one.list}
            type="button"
            class="btn"
            aria-pressed={one.list === name}
            onClick={() => {
              change({ list: one.list });
              setKept(false);
            }}
          >
            {word("list", one.list)}
          </button>
        ))}
      </div>
      {problem && <ProblemNote problem={problem} />}
      {kept && <p role="status">{t("app.register.kept")}</p>}
      {list && (
        <Edit
          key={`${list.list} ${list.version}`}
          list={list}
          register={register}
          onKept={async () => {
            await read();
            setKept(true);
            await reload();
          }}
        />
      )}
    </section>
  );
}
