/** Plantings, lists of each season, tags, and where the planter has been. */

import { Fold } from "../components/fold";
import { plantsWords } from "../components/wording-care";
import type { ListCard } from "../domain/planter";
import type { CourseChange, PlanterCourse } from "../domain/planter-course";
import { display } from "../domain/tag-code";
import { dayOf, dayWords, t, word } from "../i18n";
import { distance } from "../i18n/measures";
import { changeWords } from "./planter-history";
import { momentOnPaper } from "./report-figures";

function onPaper(day: string): string {
  return `${dayWords(day, true)} ${day.slice(0, 4)}`;
}

export function Plantings({ course }: { course: PlanterCourse }) {
  return (
    <section class="report__part">
      <h2>{t("app.course.plantings")}</h2>
      {!course.plantings.length && <p>{t("app.course.plantings_none")}</p>}
      <ul class="visits">
        {course.plantings.map((one) => (
          <li key={`${one.planted_on} ${one.record}`}>
            <p class="visit__head">
              <b>{one.planted_on && onPaper(one.planted_on)}</b>
              <span>{one.by ?? t("app.course.planting_register")}</span>
            </p>
            <p>{[one.scheme, plantsWords(one)].filter(Boolean).join(": ")}</p>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** One list of one season: how it stands, and its steps a tap away. */
function OneList({ list }: { list: ListCard }) {
  const done = list.steps.filter((step) => step.at !== null);
  return (
    <li>
      <p class="visit__head">
        <b>
          {word("list", list.list)} {list.season}
        </b>
        <span>{word("list_state", `${list.list}.${list.state}`)}</span>
        <span class="small soft">{t("app.winter.done_of", { done: list.done, of: list.of })}</span>
      </p>
      {list.missing.length > 0 && <p class="small">{list.missing.join("; ")}</p>}
      {done.length > 0 && (
        <Fold summary={t("app.course.list_steps")}>
          <ul class="stack stack--close small">
            {done.map((step) => (
              <li key={step.code}>
                <b>{step.title}</b>, {word("step_state", step.state).toLowerCase()},{" "}
                {step.at && momentOnPaper(step.at)}, {step.by}
                {step.second && `, ${t("app.course.list_second", { name: step.second })}`}
                {step.plug_place && `, ${t("app.planter.plug_place", { place: step.plug_place })}`}
                {step.note && `: “${step.note}”`}
              </li>
            ))}
          </ul>
        </Fold>
      )}
    </li>
  );
}

export function Lists({ course }: { course: PlanterCourse }) {
  return (
    <section class="report__part">
      <h2>{t("app.course.lists")}</h2>
      <ul class="visits">
        {course.lists.map((list) => (
          <OneList key={`${list.list} ${list.season}`} list={list} />
        ))}
      </ul>
    </section>
  );
}

export function Tags({ course }: { course: PlanterCourse }) {
  return (
    <section class="report__part">
      <h2>{t("app.course.tags")}</h2>
      {!course.tags.length && <p>{t("app.course.tags_none")}</p>}
      <ul class="visits">
        {course.tags.map((tag) => (
          <li key={tag.code}>
            <p class="visit__head">
              <b class="num nowrap">{display(tag.code)}</b>
              <span>
                {tag.retired_at
                  ? t("app.course.tag_old", { day: onPaper(dayOf(tag.retired_at)) })
                  : t("app.course.tag_now")}
              </span>
              <span class="small soft">
                {t("app.course.tag_made", { day: onPaper(dayOf(tag.issued_at)) })}
              </span>
            </p>
            {tag.reason && <p class="small">{t("app.visit.note", { note: tag.reason })}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}

function moveWords(change: CourseChange): string {
  const { what, old, new: now, metres } = change;
  if (what !== "position") {
    const said = changeWords({ ...change, what });
    return change.with ? `${said}, ${t("app.course.swapped", { other: change.with })}` : said;
  }
  if (!now) return t("app.course.position_gone", { old: old ?? "" });
  if (metres === null) return t("app.course.position_set", { new: now });
  return t("app.course.position_moved", { metres: distance(metres), new: now });
}

export function Moves({ course }: { course: PlanterCourse }) {
  return (
    <section class="report__part">
      <h2>{t("app.history.title")}</h2>
      {!course.changes.length && <p>{t("app.course.moves_none", { site: course.site.name })}</p>}
      <ul class="visits">
        {course.changes.map((change) => (
          <li key={`${change.at} ${change.what}`}>
            <p>{moveWords(change)}</p>
            <p class="small soft">
              {t("app.history.by", { day: momentOnPaper(change.at), by: change.by })}
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}
