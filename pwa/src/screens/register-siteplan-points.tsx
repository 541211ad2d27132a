import { useState } from "preact/hooks";
import { putPoints } from "../actions/site-plans";
import { Field } from "../components/field";
import { Icon } from "../components/icons";
import { PlanAim } from "../components/plan-aim";
import { ProblemNote } from "../components/problem-note";
import type { Problem, RegisterPlanter, SitePlan, Tap } from "../domain/planter";
import { isOn, metres, pictureSheet, shortNames } from "../domain/site-plan";
import { number, t, word } from "../i18n";
import { distance } from "../i18n/measures";
import { draftsOf, NO_POINT, POINTS, type PointDraft, pointsBody } from "./siteplans-form";
import { usePlanPicture } from "./use-plan-picture";
import { worded, wrongAt } from "./use-register";

export interface Known {
  /** Planters of the site first. */
  planters: RegisterPlanter[];
  taps: Tap[];
}

interface PointProps {
  index: number;
  draft: PointDraft;
  active: boolean;
  known: Known;
  problem: Problem | null;
  onPick: () => void;
  onChange: (draft: PointDraft) => void;
}

const hasPlace = (one: { lat: number | null; lon: number | null }) =>
  one.lat !== null && one.lon !== null;

/** What a marked spot is: a planter, a tap, or a typed position. */
function Point({ index, draft, active, known, problem, onPick, onChange }: PointProps) {
  const at = `/points/${index}`;
  const typed = (key: "lat" | "lon") => (
    <Field label={t(`app.place.${key}`)} wrong={wrongAt(problem, `${at}/${key}`)}>
      <input
        type="number"
        inputMode="decimal"
        step="any"
        value={draft[key]}
        onInput={(event) => onChange({ ...draft, [key]: event.currentTarget.value })}
      />
    </Field>
  );
  const pixel = (key: "x" | "y") => (
    <Field
      label={t(`app.siteplans.${key}`)}
      wrong={key === "x" ? wrongAt(problem, `${at}/x`) : undefined}
    >
      <input
        type="number"
        min={0}
        value={draft.spot ? String(draft.spot[key]) : ""}
        onFocus={onPick}
        onInput={(event) => {
          const spot = draft.spot ?? { x: 0, y: 0 };
          onChange({ ...draft, spot: { ...spot, [key]: Number(event.currentTarget.value) } });
        }}
      />
    </Field>
  );
  const name = t(index < POINTS ? "app.siteplans.point" : "app.siteplans.check", {
    number: index + 1,
  });
  return (
    <fieldset class="slab stack">
      <legend class="hidden-text">{name}</legend>
      <button type="button" class="btn btn--wide" aria-pressed={active} onClick={onPick}>
        {draft.spot && <Icon name="check" />}
        {name}: {t(draft.spot ? "app.siteplans.marked" : "app.siteplans.mark_it")}
      </button>
      <Field label={t("app.siteplans.what")} wrong={wrongAt(problem, `${at}/id`)}>
        <select
          value={draft.what}
          onChange={(event) => onChange({ ...draft, what: event.currentTarget.value })}
        >
          <option value="">{t("app.siteplans.choose")}</option>
          <option value="typed">{t("app.siteplans.typed")}</option>
          {known.planters.filter(hasPlace).map((one) => (
            <option key={one.id} value={`planter ${one.id}`}>
              {one.name}
            </option>
          ))}
          {known.taps.filter(hasPlace).map((one) => (
            <option key={one.id} value={`tap ${one.id}`}>
              {t("app.siteplans.tap", { name: one.name })}
            </option>
          ))}
        </select>
      </Field>
      {draft.what === "typed" && (
        <div class="form">
          {typed("lat")}
          {typed("lon")}
        </div>
      )}
      <div class="form form--pair">
        {pixel("x")}
        {pixel("y")}
      </div>
      {index >= POINTS && (draft.spot || draft.what) && (
        <button type="button" class="btn" onClick={() => onChange(NO_POINT)}>
          {t("app.siteplans.no_check")}
        </button>
      )}
    </fieldset>
  );
}

/** How the picture lies, as worked out by the server: scale, north, and how far it may be off. */
function HowItLies({ plan }: { plan: SitePlan }) {
  const { fit } = plan;
  if (!fit) return <p>{t("app.siteplans.not_placed")}</p>;
  const turn = Math.round(Math.abs(fit.turn_deg));
  return (
    <div class="slab stack" role="status">
      <p>
        <b>{t("app.siteplans.placed")}</b>{" "}
        {t("app.siteplans.shows", {
          across: distance(fit.across_m),
          apart: distance(fit.apart_m),
        })}{" "}
        {turn === 0
          ? t("app.siteplans.north_up")
          : t("app.siteplans.north_turned", {
              degrees: number(turn),
              side: word("side", fit.turn_deg > 0 ? "right" : "left"),
            })}
      </p>
      <p>
        {t("app.siteplan.doubt", {
          near: distance(fit.doubt_m),
          far: distance(fit.corner_doubt_m),
        })}{" "}
        {fit.corner_doubt_m > 3 * fit.doubt_m && t("app.siteplans.farther")}
      </p>
      {fit.check_off_m !== null && (
        <p>
          {t(
            fit.check_off_m > fit.corner_doubt_m
              ? "app.siteplans.check_bad"
              : "app.siteplans.check_good",
            { off: distance(fit.check_off_m) },
          )}
        </p>
      )}
      <a class="btn" href={plan.scope === "town" ? "/siteplan" : `/siteplan?site=${plan.scope}`}>
        {t("app.siteplans.look")}
      </a>
    </div>
  );
}

/** Marks two known points on a picture, and one more to check them by. */
export function PlanPoints(props: {
  plan: SitePlan;
  site: string;
  known: Known;
  onKept: () => Promise<void>;
}) {
  const { plan, known } = props;
  const [drafts, setDrafts] = useState(() => draftsOf(plan));
  const [active, setActive] = useState(0);
  const [problem, setProblem] = useState<Problem | null>(null);
  const picture = usePlanPicture(plan.photo);
  const set = (index: number, draft: PointDraft) =>
    setDrafts(drafts.map((one, at) => (at === index ? draft : one)));
  const body = pointsBody(drafts);
  const keep = async () => {
    if (!body) return;
    const answer = await putPoints(plan, body);
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value || answer.problem?.status === 412) await props.onKept();
  };
  return (
    <div class="stack">
      <HowItLies plan={plan} />
      <p>{t("app.siteplans.how")}</p>
      {picture.away && <p role="status">{t("app.siteplans.no_picture")}</p>}
      {picture.src && !picture.away && (
        <PlanAim
          src={picture.src}
          width={plan.width}
          height={plan.height}
          points={drafts.map((one) => one.spot)}
          active={active}
          onAim={(spot) => set(active, { ...(drafts[active] ?? NO_POINT), spot })}
          planters={onPicture(plan, props.site, known.planters)}
        />
      )}
      <div class="points">
        {drafts.map((draft, index) => (
          <Point
            key={index}
            index={index}
            draft={draft}
            active={index === active}
            known={known}
            problem={problem}
            onPick={() => setActive(index)}
            onChange={(changed) => set(index, changed)}
          />
        ))}
      </div>
      {problem && <ProblemNote problem={problem} />}
      <button
        type="button"
        class="btn btn--main"
        aria-disabled={body === null}
        onClick={() => void keep()}
      >
        {t("app.siteplans.place")}
      </button>
      {body === null && <p class="small soft">{t("app.siteplans.missing")}</p>}
    </div>
  );
}

/** Where the picture, as it is placed now, says that the site's planters are. */
function onPicture(plan: SitePlan, site: string, planters: readonly RegisterPlanter[]) {
  const { fit } = plan;
  const own = planters.filter((one) => plan.scope === "town" || one.site === plan.scope);
  if (!fit) return [];
  const sheet = pictureSheet(plan, fit, fit, plan.width);
  const short = shortNames(
    own.map((one) => one.name),
    site,
  );
  return own.flatMap((one, index) => {
    if (one.lat === null || one.lon === null) return [];
    const spot = sheet.spot(metres(fit, { lat: one.lat, lon: one.lon }));
    return isOn(sheet, spot) ? [{ id: one.id, short: short[index] ?? "", spot }] : [];
  });
}
