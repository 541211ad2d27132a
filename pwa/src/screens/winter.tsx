import { Caution } from "../components/caution";
import { EmptyState } from "../components/empty-state";
import { FreezeStrip } from "../components/freeze-strip";
import { Icon } from "../components/icons";
import { Kerb } from "../components/kerb";
import { ListSteps } from "../components/list-steps";
import { Rim } from "../components/rim";
import type { PlanterView } from "../domain/pending";
import type { ListCard, ListName, ListStep, Me, PlanterCard, Town } from "../domain/planter";
import type { StepBody } from "../domain/records";
import { daysBetween, localDay } from "../domain/time";
import { dayWords, t, today, weight, when, word } from "../i18n";
import { useSignal } from "./use-frame";
import { type PlanterOnScreen, usePlanter } from "./use-planter";
import { type OpenStep, useOpenStep } from "./winter-open";
import { StepFields } from "./winter-step";
import { plugKept } from "./winter-tally";

/** Who did a step, when, and what they left word of. */
function saidOf(step: ListStep, me: Me | null): string {
  if (!step.at && !step.by) return dueOf(step) ?? step.said ?? "";
  const by = step.by === me?.person.name ? t("app.winter.you") : (step.by ?? "");
  const parts = [
    step.at ? when(step.at) : "",
    by,
    step.second ? t("app.winter.with", { name: step.second }) : "",
    step.plug_place ? t("app.planter.plug_place", { place: step.plug_place }) : "",
    step.note ?? "",
    dueOf(step),
    step.said,
  ];
  return parts.filter(Boolean).join(", ");
}

/** When an open step falls due, and why then. */
function dueOf(step: ListStep): string | null {
  if (!step.due || step.state === "done" || step.state === "not-needed") return null;
  const day = dayWords(step.due);
  const due = t(step.due > today() ? "app.winter.due" : "app.winter.due_since", { day });
  return step.due_why ? `${due} (${step.due_why})` : due;
}

function Freeze({ town, list }: { town: Town | undefined; list: ListCard }) {
  if (!town || list.list !== "winterization") return null;
  const { date, source, nights } = town.freeze;
  return (
    <FreezeStrip
      date={date}
      nights={date ? daysBetween(today(), date) : null}
      low_c={nights.find((night) => night.date === date)?.low_c ?? null}
      source={source}
    />
  );
}

/** Whether all is proven, and if not, what is missing. */
function Standing({ list }: { list: ListCard }) {
  const settled = list.state === "proven" || list.state === "done";
  return (
    <section class="stack">
      <div class="row">
        <h2>{word("list", list.list)}</h2>
        <span class={`signal push${settled ? " signal--on" : ""}`}>
          {word("list_state", `${list.list}.${list.state}`)}
        </span>
      </div>
      <p class="small">{t("app.winter.done_of", { done: list.done, of: list.of })}</p>
      {list.missing.length > 0 && (
        <ul class="stack stack--close">
          {list.missing.map((word) => (
            <li key={word}>
              <span class="steps__missing">{word}</span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** Spring begins with finding the plug. */
function PlugToFind({ card }: { card: PlanterCard }) {
  if (card.state.plug.state === "in") return null;
  const { place, by, at } = plugKept(card);
  const kept = [by, at ? when(at) : ""].filter(Boolean).join(", ");
  return (
    <p class="banner">
      <Icon name="plug" />
      <span>
        <b>{place ? t("app.planter.plug_place", { place }) : t("app.winter.plug_unknown")}</b>
        {place && kept && ` (${kept})`}
      </span>
    </p>
  );
}

function actWords(step: ListStep): string {
  switch (step.code) {
    case "pull-plug":
      return t("app.winter.act_pull_plug");
    case "fill":
      return t("app.winter.act_fill");
    case "second-look":
    case "no-drips":
      return t("app.winter.act_look");
    default:
      if (step.proof === "look") return t("app.winter.act_look");
      return step.state === "todo" ? t("app.winter.act_done") : t("app.winter.act_again");
  }
}

function StepKerb(props: {
  step: ListStep | undefined;
  open: OpenStep | null;
  trouble: string | null;
  onSave: (outcome: StepBody["outcome"]) => void;
  back: string;
}) {
  const { step, open, trouble, onSave } = props;
  if (!step || !open) {
    return (
      <Kerb>
        <a class="btn" href={props.back}>
          {t("app.winter.to_record")}
        </a>
      </Kerb>
    );
  }
  return (
    <Kerb>
      {trouble && <p role="alert">{trouble}</p>}
      {step.code === "pull-plug" && <Caution bare>{t("app.winter.ice_caution")}</Caution>}
      <button type="button" class="act" onClick={() => onSave("done")}>
        {actWords(step)}
      </button>
      {step.state === "todo" && step.proof === "none" && (
        <button type="button" class="btn" onClick={() => onSave("not-needed")}>
          {t("app.winter.not_needed")}
        </button>
      )}
    </Kerb>
  );
}

/** Steps this phone has recorded and the server has not confirmed. */
function unsentSteps(view: PlanterView, list: ListName): Set<string> {
  const bodies = view.waiting
    .filter((entry) => entry.kind === "step")
    .map((entry) => entry.body as StepBody);
  return new Set(bodies.filter((body) => body.list === list).map((body) => body.step));
}

interface WorkProps {
  planter: PlanterOnScreen;
  list: ListCard;
  work: ReturnType<typeof useOpenStep>;
}

/** The steps, with what the opened one asks for. */
function Steps({ planter, list, work }: WorkProps) {
  const { view, town, me } = planter;
  const { open } = work;
  const people = (town?.people ?? []).map((person) => person.name);
  const pulled = list.steps.find((step) => step.code === "pull-plug")?.at;
  const tooEarly = Boolean(pulled && town && localDay(pulled, town.zone) >= today());
  return (
    <ListSteps
      list={list}
      open={open?.code ?? null}
      onOpen={work.show}
      said={(step) => saidOf(step, me)}
      unsent={unsentSteps(view, list.list)}
    >
      {(step) =>
        open && (
          <StepFields
            key={step.code}
            step={step}
            form={open.form}
            photos={open.photos}
            people={people.filter((name) => name !== me?.person.name)}
            onForm={work.onForm}
            onPhoto={work.onPhoto}
            onRemove={work.onRemove}
            tooEarly={tooEarly}
          />
        )
      }
    </ListSteps>
  );
}

/** Winterization or start-up of one planter, step by step, with proof where it is given. */
export function ListScreen({ id, list: name }: { id: string; list: ListName }) {
  const planter = usePlanter(id);
  const signal = useSignal();
  const card = planter?.view.card;
  const list = card?.lists[name === "start-up" ? "start_up" : "winterization"];
  const work = useOpenStep(card, list);
  const back = `/p/${id}`;
  if (planter === null) {
    return (
      <div class="field">
        <Rim title={word("list", name)} back="/planters" />
        <main>
          <EmptyState title={t("app.planter.unknown")} />
        </main>
      </div>
    );
  }
  if (!planter || !card || !list) return <div class="field" aria-busy="true" />;
  return (
    <div class="field">
      <Rim title={card.name} back={back}>
        {signal}
      </Rim>
      <Freeze town={planter.town} list={list} />
      <main>
        <Standing list={list} />
        {name === "start-up" && <PlugToFind card={card} />}
        <Steps planter={planter} list={list} work={work} />
        {card.weight_moist_kg !== null && (
          <Caution icon="weight">
            <b>{t("app.planter.weighs", { weight: weight(card.weight_moist_kg) })}</b>{" "}
            {t("app.planter.two_people")}
          </Caution>
        )}
      </main>
      <StepKerb
        step={list.steps.find((step) => step.code === work.open?.code)}
        open={work.open}
        trouble={work.trouble}
        onSave={(outcome) => void work.save(outcome)}
        back={back}
      />
    </div>
  );
}
