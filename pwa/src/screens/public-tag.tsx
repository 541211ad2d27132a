/** The page a passer-by sees: two pleas and one way to tell us. Nothing private is on it. */

import { useEffect, useState } from "preact/hooks";
import { publicTag } from "../actions/public";
import { EmptyState } from "../components/empty-state";
import { Icon } from "../components/icons";
import { Kerb } from "../components/kerb";
import { PlanterCut } from "../components/planter-cut";
import { ProblemNote } from "../components/problem-note";
import { useTitle } from "../components/use-title";
import type { Problem, PublicTag } from "../domain/planter";
import { display, fold } from "../domain/tag-code";
import { dayWords, t } from "../i18n";
import { worded } from "../i18n/problems";
import { ReportForm } from "./report-form";

type Found = { tag: PublicTag } | { problem: Problem } | null;

function usePublicTag(code: string): [Found, () => void] {
  const [found, setFound] = useState<Found>(null);
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    let wanted = true;
    void publicTag(code).then((answer) => {
      if (!wanted) return;
      setFound(answer.problem ? { problem: answer.problem } : { tag: answer.value });
    });
    return () => {
      wanted = false;
    };
  }, [code, turn]);
  return [found, () => setTurn((count) => count + 1)];
}

/** "a, b and c" as one sentence. */
function listed(names: string[]): string {
  const text = new Intl.ListFormat(document.documentElement.lang || "en").format(names);
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function Pleas() {
  return (
    <ul class="please">
      <li>
        <Icon name="no" />
        <span>{t("app.public.please_water")}</span>
      </li>
      <li>
        <Icon name="plug" />
        <span>{t("app.public.please_plug")}</span>
      </li>
    </ul>
  );
}

function About({ tag }: { tag: PublicTag }) {
  return (
    <>
      <h1>{tag.planter_name}</h1>
      <figure class="cut cut--small">
        <PlanterCut
          level={0.6}
          plants={5}
          plug="in"
          left={t("app.public.store")}
          label={t("app.public.drawing")}
        />
      </figure>
      <p>{t("app.public.neighbours")}</p>
      <Pleas />
      {tag.plants.length > 0 && <p class="small soft">{listed(tag.plants)}.</p>}
      {tag.last_care_day && (
        <p class="small soft">{t("app.public.last_care", { day: dayWords(tag.last_care_day) })}</p>
      )}
    </>
  );
}

function Mark({ town }: { town: string | null }) {
  return (
    <header class="rim">
      <div class="rim__bar">
        <span class="mark">
          <Icon name="mark" /> {town ? t("app.public.of_town", { town }) : "Potrounds"}
        </span>
      </div>
    </header>
  );
}

/** No tag, or no answer. */
function Instead({
  problem,
  code,
  onAgain,
}: {
  problem: Problem;
  code: string;
  onAgain: () => void;
}) {
  const unknown = problem.status === 404;
  return (
    <div class="field">
      <Mark town={null} />
      <main>
        {unknown ? (
          <EmptyState title={t("app.public.unknown")} top>
            <p>{t("app.public.unknown_why", { code: display(fold(code)) })}</p>
          </EmptyState>
        ) : (
          <ProblemNote problem={worded(problem)} />
        )}
      </main>
      {!unknown && (
        <Kerb>
          <button type="button" class="act" onClick={onAgain}>
            {t("app.public.again")}
          </button>
        </Kerb>
      )}
    </div>
  );
}

/** The public page of a tag. */
export function PublicTagScreen({ code }: { code: string }) {
  const [found, again] = usePublicTag(code);
  const [reporting, setReporting] = useState(false);
  const name = found && "tag" in found ? found.tag.planter_name : null;
  useTitle(name ?? undefined);
  if (!found) {
    return (
      <div class="field">
        <Mark town={null} />
        <main>
          <p>{t("app.public.asking")}</p>
        </main>
      </div>
    );
  }
  if ("problem" in found) return <Instead problem={found.problem} code={code} onAgain={again} />;
  const { tag } = found;
  return (
    <div class="field">
      <Mark town={tag.town} />
      {reporting ? (
        <ReportForm code={code} planter={tag.planter_name} onLeave={() => setReporting(false)} />
      ) : (
        <>
          <main>
            {tag.state === "replaced" && <p class="slab">{t("app.public.replaced")}</p>}
            <About tag={tag} />
          </main>
          <Kerb>
            <button type="button" class="act" onClick={() => setReporting(true)}>
              {t("app.public.wrong")}
            </button>
            <p class="small soft">{t("app.public.no_name")}</p>
          </Kerb>
        </>
      )}
    </div>
  );
}
