/** The drawing of a site plan with its key, and the choice between drawing and plan picture. */

import { useLocation } from "preact-iso";
import { Field } from "../components/field";
import { Options } from "../components/options";
import { PickRow } from "../components/pick-row";
import { PlanDrawing, type PlanItem, PlanKey } from "../components/plan-drawing";
import { useWidth } from "../components/use-width";
import type { Place, Town } from "../domain/planter";
import { type Metres, pictureSheet, type Sheet, scaleBar, sheetFor } from "../domain/site-plan";
import { t } from "../i18n";
import { barUnit, distance } from "../i18n/measures";
import { type Part, placedPicture } from "./siteplan-view";
import { usePlanPicture } from "./use-plan-picture";

export const WHOLE = "town";
export type Shown = "picture" | "drawing";

/** Kept free around the places for their marks [px]. */
const EDGE = 60;
const BAR_PX = 110;

function heights(width: number) {
  return {
    least: Math.round(Math.max(290, Math.min(380, width * 0.45))),
    most: Math.round(Math.max(340, Math.min(600, width * 0.75))),
  };
}

/** Where a site plan is found: a site or the whole town, how it is shown, and which part. */
export function address(scope: string, shown: Shown | null, part: Part | null): string {
  const asked = new URLSearchParams(scope === WHOLE ? {} : { site: scope });
  if (shown) asked.set("view", shown);
  if (part) {
    asked.set("near", part.near);
    asked.set("within", String(part.within));
  }
  const query = asked.toString();
  return query ? `/siteplan?${query}` : "/siteplan";
}

/** Which site; the whole town is one of them. */
export function Chooser({ sites, scope }: { sites: Town["sites"]; scope: string }) {
  const { route } = useLocation();
  return (
    <Field label={t("app.siteplan.which")}>
      <select
        value={scope}
        onChange={(event) => route(address(event.currentTarget.value, null, null))}
      >
        <option value={WHOLE}>{t("app.siteplan.whole")}</option>
        <Options of={sites} />
      </select>
    </Field>
  );
}

interface FigureProps {
  label: string;
  places: readonly Metres[];
  items: (sheet: Sheet) => PlanItem[];
  things: (sheet: Sheet) => { id: string; spot: { x: number; y: number } }[];
  openGroup: (ids: string[]) => string;
  groupWord: "planters" | "sites";
  /** A plan picture and how it lies, where one is to be shown. */
  picture?: { src: string; sheet: (width: number) => Sheet; onLost: () => void } | undefined;
}

/** The drawing with its key, as wide as its column. */
export function Figure(props: FigureProps) {
  const { ref, width } = useWidth<HTMLDivElement>(328);
  const { picture } = props;
  const sheet = picture
    ? picture.sheet(width)
    : sheetFor(props.places, width, heights(width), EDGE);
  const bar = scaleBar(sheet.px_per_m, BAR_PX, barUnit());
  const long = distance(bar.count * barUnit());
  return (
    <div ref={ref}>
      <PlanDrawing
        sheet={sheet}
        label={props.label}
        items={props.items(sheet)}
        things={props.things(sheet)}
        picture={picture?.src}
        onPictureLost={picture?.onLost}
        square={bar.px}
        openGroup={props.openGroup}
        groupWord={props.groupWord}
      />
      <PlanKey
        px={bar.px}
        words={picture ? long : t("app.siteplan.square", { length: long })}
        turn_deg={sheet.turn_deg}
      />
    </div>
  );
}

/** The plan picture of a site or the town, where it is placed and wanted, and how it lies. */
export function usePlaced(
  town: Town | undefined,
  scope: string,
  origin: Place | null,
  asked: Shown | undefined,
) {
  const placed = placedPicture(town, scope);
  const picture = usePlanPicture(placed?.plan.photo ?? null);
  const shown: Shown = placed && asked !== "drawing" ? "picture" : "drawing";
  const wanted = shown === "picture" && placed && origin;
  const sheet =
    wanted && !picture.away
      ? (width: number) => pictureSheet(placed.plan, placed.fit, origin, width)
      : null;
  return {
    placed,
    shown,
    away: Boolean(wanted && picture.away),
    sheet,
    picture: sheet && picture.src ? { src: picture.src, sheet, onLost: picture.onLost } : undefined,
  };
}

export type Placed = ReturnType<typeof usePlaced>;

/** Drawing or plan picture, where there is a choice. */
export function ViewPick({ placed, scope }: { placed: Placed; scope: string }) {
  const { route } = useLocation();
  if (!placed.placed) return null;
  return (
    <PickRow
      legend={t("app.siteplan.view")}
      quiet
      value={placed.shown}
      onPick={(value) => route(address(scope, value ?? placed.shown, null), true)}
      choices={[
        { value: "picture", word: t("app.siteplan.view_picture") },
        { value: "drawing", word: t("app.siteplan.view_drawing") },
      ]}
    />
  );
}

/** Under a picture: how far it may be off. Under a drawing that stands in for one: why. */
export function PictureNotes({ placed }: { placed: Placed }) {
  if (placed.away) return <p role="status">{t("app.siteplan.away")}</p>;
  if (!placed.sheet || !placed.placed) return null;
  const { fit } = placed.placed;
  return (
    <p class="small soft">
      {t("app.siteplan.doubt", {
        near: distance(fit.doubt_m),
        far: distance(fit.corner_doubt_m),
      })}
    </p>
  );
}
