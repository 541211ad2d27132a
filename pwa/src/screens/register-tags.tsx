import { useState } from "preact/hooks";
import { changeSettings, tagSheet } from "../actions/register";
import { Field } from "../components/field";
import { Fold } from "../components/fold";
import { Options } from "../components/options";
import { PickRow } from "../components/pick-row";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t, word } from "../i18n";
import { useQuery } from "./use-query";
import { type PartProps, worded, wrongAt } from "./use-register";

const SIZES = ["small", "medium", "large"] as const;
const PAPERS = ["a4", "letter"] as const;

/** The address printed on every tag: asked before the first print, because paper stays. */
function TagAddress({ register, reload }: PartProps) {
  const [address, setAddress] = useState(register.settings.tag_address ?? window.location.origin);
  const [problem, setProblem] = useState<Problem | null>(null);
  const keep = async () => {
    const answer = await changeSettings({ tag_address: address.trim() });
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) await reload();
  };
  const fields = (
    <>
      <Field
        label={t("app.tags.address")}
        hint={t("app.tags.address_hint")}
        wrong={wrongAt(problem, "/tag_address")}
      >
        <input
          type="url"
          inputMode="url"
          value={address}
          onInput={(e) => setAddress(e.currentTarget.value)}
        />
      </Field>
      {problem && !problem.errors?.length && <ProblemNote problem={problem} />}
      <button type="button" class="btn" onClick={() => void keep()}>
        {t("app.tags.keep_address")}
      </button>
    </>
  );
  const kept = register.settings.tag_address;
  if (!kept) return <section class="slab stack">{fields}</section>;
  return <Fold summary={t("app.tags.opens", { address: kept })}>{fields}</Fold>;
}

/** Print-ready tag sheets: everything, one site, or single planters. */
export function Tags({ register, reload }: PartProps) {
  const [asked, change] = useQuery({ which: "all", size: "medium", paper: "a4" });
  const size = SIZES.find((one) => one === asked.size) ?? "medium";
  const paper = PAPERS.find((one) => one === asked.paper) ?? "a4";
  const { which } = asked;
  const tagged = register.planters.filter(
    (planter) => planter.code && planter.status !== "retired",
  );
  const chosen =
    which === "all"
      ? ("all" as const)
      : tagged
          .filter((planter) => planter.site === which || planter.id === which)
          .map((planter) => planter.id);
  const ready = register.settings.tag_address && chosen.length > 0;
  return (
    <section class="stack">
      <h2>{t("app.tags.title")}</h2>
      <TagAddress register={register} reload={reload} />
      <Field label={t("app.tags.which")}>
        <select value={which} onChange={(e) => change({ which: e.currentTarget.value })}>
          <option value="all">{t("app.tags.all")}</option>
          {register.sites.map((site) => (
            <optgroup key={site.id} label={site.name}>
              <option value={site.id}>{t("app.tags.whole_site", { site: site.name })}</option>
              <Options of={tagged.filter((planter) => planter.site === site.id)} />
            </optgroup>
          ))}
        </select>
      </Field>
      <PickRow
        legend={t("app.tags.size")}
        cols={3}
        choices={SIZES.map((value) => ({ value, word: word("tag_size", value) }))}
        value={size}
        onPick={(value) => change({ size: value ?? size })}
      />
      <PickRow
        legend={t("app.tags.paper")}
        choices={PAPERS.map((value) => ({ value, word: word("paper", value) }))}
        value={paper}
        onPick={(value) => change({ paper: value ?? paper })}
      />
      <p class="small">{t("app.tags.print_how")}</p>
      {ready ? (
        <a class="act" href={tagSheet(chosen, size, paper)} download="tags.pdf">
          {t("app.tags.print")}
        </a>
      ) : (
        <p>
          <b>{t("app.tags.address_first")}</b>
        </p>
      )}
    </section>
  );
}
