import type { ComponentChildren } from "preact";
import type { ListCard, ListStep } from "../domain/planter";
import { t, word } from "../i18n";
import { Icon } from "./icons";

export interface ListStepsProps {
  list: ListCard;
  /** The step that is opened to be done or looked at. */
  open: string | null;
  onOpen: (code: string | null) => void;
  /** Who and when, in one line. */
  said: (step: ListStep) => string;
  /** What an opened step offers. */
  children: (step: ListStep) => ComponentChildren;
  /** Steps this phone has recorded and the server has not confirmed. */
  unsent: ReadonlySet<string>;
}

/** Whether the tube is empty: in spring until the reservoir has been filled. */
function isEmpty(list: ListCard): boolean {
  return (
    list.list === "start-up" && !list.steps.some((s) => s.code === "fill" && s.state !== "todo")
  );
}

function look(step: ListStep, list: ListCard, open: boolean): string {
  const done = step.state === "done" || step.state === "not-needed";
  const state = done ? "is-done" : step.state === "unproven" ? "is-unproven" : "is-todo";
  return `${state}${list.next === step.code ? " is-now" : ""}${open ? " is-open" : ""}`;
}

function StepSign({ step, index }: { step: ListStep; index: number }) {
  if (step.state === "done") return <Icon name="check" />;
  if (step.state === "unproven") return <Icon name="question" />;
  return <span>{step.state === "not-needed" ? "–" : index + 1}</span>;
}

function StepHead(props: {
  step: ListStep;
  said: string;
  unsent: boolean;
  open: boolean;
  onFlip: () => void;
}) {
  const { step, said, unsent, open, onFlip } = props;
  return (
    <button type="button" class="steps__head" aria-expanded={open} onClick={onFlip}>
      <span>
        <b>{step.title}</b>
        <span class="hidden-text"> ({word("step_state", step.state)})</span>
        {said && (
          <>
            <br />
            <span class="small soft">{said}</span>
          </>
        )}
        {unsent && (
          <>
            {" "}
            <span class="unsent">{t("app.record_state.not_sent")}</span>
          </>
        )}
      </span>
    </button>
  );
}

/** The steps of a list beside a sight tube: water stands at the step that is next. */
export function ListSteps({ list, open, onOpen, said, children, unsent }: ListStepsProps) {
  return (
    <ol class={isEmpty(list) ? "steps steps--empty" : "steps"}>
      {list.steps.map((step, index) => {
        const isOpen = open === step.code;
        return (
          <li
            key={step.code}
            class={look(step, list, isOpen)}
            aria-current={list.next === step.code ? "step" : undefined}
          >
            <div class="steps__n" aria-hidden="true">
              <StepSign step={step} index={index} />
            </div>
            <div class="steps__body">
              <StepHead
                step={step}
                said={said(step)}
                unsent={unsent.has(step.code)}
                open={isOpen}
                onFlip={() => onOpen(isOpen ? null : step.code)}
              />
              {isOpen && children(step)}
            </div>
          </li>
        );
      })}
    </ol>
  );
}
