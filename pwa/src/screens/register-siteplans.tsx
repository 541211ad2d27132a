import { useCallback, useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { dropPlan, putPicture, readSitePlans } from "../actions/site-plans";
import { Caution } from "../components/caution";
import { Field } from "../components/field";
import { FileInput } from "../components/file-input";
import { Options } from "../components/options";
import { ProblemNote } from "../components/problem-note";
import type { Problem, SitePlan } from "../domain/planter";
import { t } from "../i18n";
import { ring } from "../store/bell";
import { readTown } from "../store/planters";
import { PlanPoints } from "./register-siteplan-points";
import { RemoveButton } from "./remove-button";
import { type PartProps, worded } from "./use-register";
import { useStored } from "./use-stored";

const WHOLE = "town";
const KINDS = "image/jpeg,image/png,image/webp";

function Upload({ scope, plan, onKept }: UploadProps) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [busy, setBusy] = useState(false);
  const chosen = async (file: File) => {
    setBusy(true);
    try {
      const answer = await putPicture(scope, file, plan);
      setProblem(answer.problem ? worded(answer.problem) : null);
      if (answer.value || answer.problem?.status === 412) await onKept();
    } catch {
      const detail = t("app.siteplans.unreadable");
      setProblem({ type: "", title: t("app.siteplans.not_taken"), status: 422, detail });
    } finally {
      setBusy(false);
    }
  };
  return (
    <div class="stack">
      <Field
        label={t(plan ? "app.siteplans.replace" : "app.siteplans.file")}
        hint={t(plan ? "app.siteplans.replace_hint" : "app.siteplans.file_hint")}
      >
        <FileInput accept={KINDS} disabled={busy} onFile={(file) => void chosen(file)} />
      </Field>
      {busy && <p role="status">{t("app.siteplans.sending")}</p>}
      {problem && <ProblemNote problem={problem} />}
    </div>
  );
}

interface UploadProps {
  scope: string;
  plan: SitePlan | undefined;
  onKept: () => Promise<void>;
}

/** Plan pictures of the sites and of the town: sent, placed by two known points, taken away. */
export function SitePlansPart({ register }: PartProps) {
  const { query, route } = useLocation();
  const [plans, setPlans] = useState<SitePlan[] | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const town = useStored(["town"], readTown);
  const reload = useCallback(async () => {
    const answer = await readSitePlans();
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) setPlans(answer.value.plans);
  }, []);
  useEffect(() => {
    void reload();
  }, [reload]);
  const kept = async () => {
    await reload();
    ring("asked"); // so that this phone's own site plan shows it too
  };
  const scope = query.scope || register.sites[0]?.id || WHOLE;
  const site = register.sites.find((one) => one.id === scope)?.name ?? "";
  const plan = plans?.find((one) => one.scope === scope);
  const known = {
    planters: register.planters
      .filter((one) => one.status !== "retired")
      .sort(
        (one, other) =>
          Number(other.site === scope) - Number(one.site === scope) ||
          one.name.localeCompare(other.name, undefined, { numeric: true }),
      ),
    taps: town?.taps ?? [],
  };
  const remove = async (was: SitePlan) => {
    const answer = await dropPlan(was);
    setProblem(answer.problem ? worded(answer.problem) : null);
    await kept();
  };
  return (
    <section class="stack">
      <h2>{t("app.siteplans.title")}</h2>
      <p>{t("app.siteplans.why")}</p>
      <Caution>{t("app.siteplans.caution")}</Caution>
      <Field label={t("app.siteplan.which")}>
        <select
          value={scope}
          onChange={(event) => route(`/register?part=siteplans&scope=${event.currentTarget.value}`)}
        >
          <Options of={register.sites} />
          <option value={WHOLE}>{t("app.siteplan.whole")}</option>
        </select>
      </Field>
      {problem && <ProblemNote problem={problem} />}
      {plan && (
        <PlanPoints
          key={`${plan.scope} ${plan.version}`}
          plan={plan}
          site={site}
          known={known}
          onKept={kept}
        />
      )}
      {plans && <Upload key={scope} scope={scope} plan={plan} onKept={kept} />}
      {plan && (
        <div class="row row--wrap">
          <RemoveButton
            name={t("app.siteplans.picture_of", { site: site || t("app.siteplan.whole") })}
            onRemove={() => void remove(plan)}
          />
        </div>
      )}
    </section>
  );
}
