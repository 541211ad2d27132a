import { useEffect, useState } from "preact/hooks";
import { type ClosedSeason, readSeason, reopenSeason } from "../actions/seasons";
import { Field } from "../components/field";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { t, tn, volume, when, word } from "../i18n";
import { LeftOpen } from "./season-open";
import { worded, wrongAt } from "./use-register";

type Totals = ClosedSeason["totals"];
type Line = ClosedSeason["summary"]["planters"][number];

/** Litres with how they were known: "212 L typed, 40 L timed". */
function litresWords(litres: Record<string, unknown>): string {
  return Object.entries(litres)
    .map(([how, amount]) => `${volume(Number(amount))} ${word("litres_by", how)}`)
    .join(", ");
}

function names(list: string[]): string {
  return list.length ? `${list.length}: ${list.join(", ")}` : "0";
}

function TotalsTable({ totals }: { totals: Totals }) {
  const rows: [string, string][] = [
    ["proven", t("app.seasons.proven_of", { proven: totals.proven, of: totals.planters })],
    ["unproven", String(totals.unproven)],
    ["under_way", String(totals.under_way)],
    ["not_begun", String(totals.not_begun)],
    ["visits", String(totals.visits)],
    ["litres", litresWords(totals.litres) || t("app.changes.nothing")],
    ["overhead", volume(totals.overhead_l)],
    ["lost", names(totals.planters_lost)],
    ["gone", names(totals.plants_gone)],
    ["flags_answered", String(totals.flags_answered)],
    ["flags_settled", String(totals.flags_settled)],
    ["flags_up", String(totals.flags_up)],
  ];
  return (
    <table class="table season-totals">
      <caption class="hidden-text">{t("app.season.totals")}</caption>
      <tbody>
        {rows.map(([key, said]) => (
          <tr key={key}>
            <th scope="row">{word("season_total", key)}</th>
            <td>{said}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function PlanterLine({ line }: { line: Line }) {
  const { winter } = line;
  const done = winter.steps.filter((step) => step.by || step.said);
  return (
    <li class="slab stack stack--close">
      <p class="row row--wrap">
        <b>{line.name}</b>
        <span class="soft">{line.site}</span>
        <b class="push">{word("season_state", winter.state)}</b>
      </p>
      <p>
        {[
          winter.plug_place ? t("app.planter.plug_place", { place: winter.plug_place }) : "",
          tn("app.season.visits", line.visits),
          litresWords(line.litres),
        ]
          .filter(Boolean)
          .join(", ")}
      </p>
      {winter.missing.length > 0 && (
        <p>
          <span class="steps__missing">{winter.missing.join(", ")}</span>
        </p>
      )}
      {done.length > 0 && (
        <details class="fold">
          <summary>{t("app.season.steps", { done: winter.done, of: winter.of })}</summary>
          <div>
            <ul class="left-open">
              {done.map((step) => (
                <li key={step.code}>
                  {[
                    `${step.title}: ${word("step_state", step.state)}`,
                    step.by ?? "",
                    step.at ? when(step.at) : "",
                    step.photos ? tn("app.season.photos", step.photos) : "",
                    step.second ? t("app.winter.with", { name: step.second }) : "",
                    step.said ?? "",
                  ]
                    .filter(Boolean)
                    .join(", ")}
                </li>
              ))}
            </ul>
          </div>
        </details>
      )}
    </li>
  );
}

function Late({ season }: { season: ClosedSeason }) {
  if (!season.late.length) return null;
  return (
    <section class="stack">
      <h3>{t("app.season.late_title")}</h3>
      <p>{t("app.season.late_what")}</p>
      <ul class="left-open">
        {season.late.map((one) => (
          <li key={one.record}>
            {[
              `${one.planter_name}: ${word("kind", one.kind)}`,
              one.by ?? "",
              t("app.season.late_line", {
                at: when(one.at),
                received: when(one.received_at),
              }),
            ]
              .filter(Boolean)
              .join(", ")}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Reopen({ year, onDone }: { year: number; onDone: (season: ClosedSeason) => void }) {
  const [reason, setReason] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const reopen = async () => {
    const answer = await reopenSeason(year, reason);
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) onDone(answer.value);
  };
  return (
    <section class="stack no-print">
      <h3>{t("app.season.reopen_title")}</h3>
      <Field label={t("app.season.reason")} wrong={wrongAt(problem, "/reason")}>
        <input value={reason} maxLength={400} onInput={(e) => setReason(e.currentTarget.value)} />
      </Field>
      {problem && <ProblemNote problem={problem} />}
      <button type="button" class="btn" onClick={() => void reopen()}>
        {t("app.season.reopen", { year })}
      </button>
    </section>
  );
}

/** A closed season, as it was kept. */
export function ArchivedSeason({ year }: { year: string }) {
  const [season, setSeason] = useState<ClosedSeason | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  useEffect(() => {
    void readSeason(year).then((answer) => {
      setProblem(answer.problem ? worded(answer.problem) : null);
      if (answer.value) setSeason(answer.value);
    });
  }, [year]);
  return (
    <section class="stack stack--wide">
      <a class="btn no-print" href="/register?part=seasons">
        {t("app.season.all")}
      </a>
      {problem && <ProblemNote problem={problem} />}
      {season && (
        <>
          <h2>{t("app.seasons.of", { year: season.year })}</h2>
          <p>
            {t("app.seasons.closed_by", { when: when(season.closed_at), by: season.closed_by })}{" "}
            {season.reopened_at &&
              t("app.seasons.reopened_by", {
                when: when(season.reopened_at),
                by: season.reopened_by ?? "",
                reason: season.reason,
              })}
          </p>
          <TotalsTable totals={season.totals} />
          <p class="soft">{t("app.season.flags_note")}</p>
          <Late season={season} />
          <section class="stack">
            <h3>{t("app.season.left_open")}</h3>
            <LeftOpen season={season.summary.left_open} />
          </section>
          <section class="stack">
            <h3>{t("app.season.planters")}</h3>
            <ul class="stack archive">
              {season.summary.planters.map((line) => (
                <PlanterLine key={line.id} line={line} />
              ))}
            </ul>
          </section>
          {!season.reopened_at && <Reopen year={season.year} onDone={setSeason} />}
        </>
      )}
    </section>
  );
}
