import { useMemo } from "preact/hooks";
import { useLocation } from "preact-iso";
import { EmptyState } from "../components/empty-state";
import { Field } from "../components/field";
import { Icon } from "../components/icons";
import { Kerb } from "../components/kerb";
import { PickRow } from "../components/pick-row";
import { PlanDrawing, type PlanItem, PlanKey } from "../components/plan-drawing";
import { Potlet } from "../components/potlet";
import { Rim } from "../components/rim";
import { useWidth } from "../components/use-width";
import type { Town } from "../domain/planter";
import {
  isOn,
  type Metres,
  pictureSheet,
  type Sheet,
  scaleBar,
  sheetFor,
} from "../domain/site-plan";
import { t, tn, today } from "../i18n";
import { barUnit, distance } from "../i18n/measures";
import { FieldWays } from "./field-ways";
import { readPlanters } from "./read-planters";
import { PlanterList, SiteList, Unplaced } from "./siteplan-list";
import {
  type Part,
  type PlanView,
  partAround,
  placedPicture,
  siteView,
  townView,
} from "./siteplan-view";
import { useDesk, useSignal } from "./use-frame";
import { usePlanPicture } from "./use-plan-picture";
import { useStored } from "./use-stored";

const WHOLE = "town";
type Read = Awaited<ReturnType<typeof readPlanters>>;
type Shown = "picture" | "drawing";

/** Kept free around the places for their marks [px]. */
const EDGE = 60;
const BAR_PX = 110;

function heights(width: number) {
  return {
    least: Math.round(Math.max(290, Math.min(380, width * 0.45))),
    most: Math.round(Math.max(340, Math.min(600, width * 0.75))),
  };
}

function address(scope: string, shown: Shown | null, part: Part | null): string {
  const asked = new URLSearchParams(scope === WHOLE ? {} : { site: scope });
  if (shown) asked.set("view", shown);
  if (part) {
    asked.set("near", part.near);
    asked.set("within", String(part.within));
  }
  const query = asked.toString();
  return query ? `/siteplan?${query}` : "/siteplan";
}

function Chooser({ sites, scope }: { sites: Town["sites"]; scope: string }) {
  const { route } = useLocation();
  return (
    <Field label={t("app.siteplan.which")}>
      <select
        value={scope}
        onChange={(event) => route(address(event.currentTarget.value, null, null))}
      >
        <option value={WHOLE}>{t("app.siteplan.whole")}</option>
        {sites.map((site) => (
          <option key={site.id} value={site.id}>
            {site.name}
          </option>
        ))}
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
function Figure(props: FigureProps) {
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

function NoPositions({ edits }: { edits: boolean }) {
  return (
    <EmptyState title={t("app.siteplan.none")}>
      <p>{t(edits ? "app.siteplan.unplaced_edit" : "app.siteplan.unplaced_ask")}</p>
    </EmptyState>
  );
}

function itemsOf(view: PlanView, sheet: Sheet): PlanItem[] {
  return view.placed
    .map(({ row, short, at }) => ({
      id: row.card.id,
      spot: sheet.spot(at),
      href: `/p/${row.card.id}`,
      name: row.card.name,
      short,
      urgency: row.flag?.urgency ?? null,
      calm: <Potlet level={row.card.state.level?.value ?? null} />,
    }))
    .filter((item) => isOn(sheet, item.spot));
}

interface SiteProps {
  all: Read;
  site: { id: string; name: string };
  asked: Shown | undefined;
  part: Part | null;
  edits: boolean;
}

function SitePlanOf({ all, site, asked, part, edits }: SiteProps) {
  const { route } = useLocation();
  const view = useMemo(
    () => siteView(site, all.cards, all.entries, all.town, today(), part),
    [all, site, part?.near, part?.within],
  );
  const placed = placedPicture(all.town, site.id);
  const picture = usePlanPicture(placed?.plan.photo ?? null);
  const shown: Shown = placed && !part && asked !== "drawing" ? "picture" : "drawing";
  const { origin } = view;
  const onPicture = shown === "picture" && !picture.away && placed && origin;
  const laid = onPicture
    ? (width: number) => pictureSheet(placed.plan, placed.fit, origin, width)
    : null;
  const sized = laid?.(1000);
  return (
    <>
      <div class="stack">
        {placed && !part && (
          <PickRow
            legend={t("app.siteplan.view")}
            quiet
            value={shown}
            onPick={(value) => route(address(site.id, value ?? shown, null), true)}
            choices={[
              { value: "picture", word: t("app.siteplan.view_picture") },
              { value: "drawing", word: t("app.siteplan.view_drawing") },
            ]}
          />
        )}
        {view.placed.length < view.count && (
          <p class="row row--wrap">
            {tn("app.siteplan.part", view.placed.length, { site: site.name })}
            <a class="btn" href={address(site.id, "drawing", null)}>
              {t("app.siteplan.all_of", { site: site.name })}
            </a>
          </p>
        )}
        {shown === "picture" && picture.away && <p role="status">{t("app.siteplan.away")}</p>}
        {view.placed.length === 0 ? (
          <NoPositions edits={edits} />
        ) : (
          <Figure
            label={tn("app.siteplan.label", view.placed.length, { site: site.name })}
            places={[...view.placed.map((one) => one.at), ...view.taps.map((one) => one.at)]}
            items={(sheet) => itemsOf(view, sheet)}
            things={(sheet) =>
              view.taps.map(({ tap, at }) => ({ id: tap.id, spot: sheet.spot(at) }))
            }
            openGroup={(ids) => {
              const around = partAround(view.placed, ids);
              return around ? address(site.id, "drawing", around) : `#${LIST}`;
            }}
            groupWord="planters"
            picture={
              laid && picture.src
                ? { src: picture.src, sheet: laid, onLost: picture.onLost }
                : undefined
            }
          />
        )}
        {onPicture && (
          <p class="small soft">
            {t("app.siteplan.doubt", {
              near: distance(placed.fit.doubt_m),
              far: distance(placed.fit.corner_doubt_m),
            })}
          </p>
        )}
        {edits && (
          <a class="btn" href={`/register?part=siteplans&scope=${site.id}`}>
            {t(placed ? "app.siteplan.edit" : "app.siteplan.add")}
          </a>
        )}
      </div>
      <div class="stack stack--wide" id={LIST} tabIndex={-1}>
        {view.placed.length > 0 && (
          <PlanterList
            view={view}
            site={site.name}
            isOff={(at) => sized !== undefined && !isOn(sized, sized.spot(at))}
          />
        )}
        <Unplaced cards={view.unplaced} edits={edits} />
      </div>
    </>
  );
}

const LIST = "siteplan-list";

function TownPlan({ all, edits }: { all: Read; edits: boolean }) {
  const sites = all.town?.sites ?? [];
  const view = useMemo(() => townView(sites, all.cards), [sites, all.cards]);
  const placed = view.sites.flatMap((site) => (site.at ? [{ ...site, at: site.at }] : []));
  return (
    <>
      <div class="stack">
        {placed.length === 0 ? (
          <NoPositions edits={edits} />
        ) : (
          <Figure
            label={tn("app.siteplan.label_town", placed.length)}
            places={placed.map((site) => site.at)}
            items={(sheet) =>
              placed.map((site) => ({
                id: site.id,
                spot: sheet.spot(site.at),
                href: address(site.id, null, null),
                name: site.name,
                short: site.name,
                urgency: site.urgent[0]?.[0] ?? null,
                calm: <span class="small">{tn("app.planters.count", site.count)}</span>,
              }))
            }
            things={() => []}
            openGroup={() => `#${LIST}`}
            groupWord="sites"
          />
        )}
      </div>
      <div class="stack stack--wide" id={LIST} tabIndex={-1}>
        <SiteList sites={view.sites} middle={view.middle} />
      </div>
    </>
  );
}

/** Planters at their places, from this phone's store alone; the list beside it says the same. */
export function SitePlanScreen() {
  const all = useStored(["planters", "outbox", "town", "settings"], readPlanters);
  const { query } = useLocation();
  const signal = useSignal();
  const desk = useDesk("siteplan");
  const sites = all?.town?.sites ?? [];
  const site = sites.find((one) => one.id === query.site);
  const within = Number(query.within);
  const part = query.near && within > 0 ? { near: query.near, within } : null;
  const edits = all?.me?.person.role === "coordinator";
  const asked = query.view === "drawing" || query.view === "picture" ? query.view : undefined;
  return (
    <div class="field field--wide">
      <Rim title={t("app.siteplan.title")} nav={desk?.nav ?? <FieldWays current="siteplan" />} ways>
        {signal}
      </Rim>
      <main class="siteplans" aria-busy={!all}>
        {all && <Chooser sites={sites} scope={site?.id ?? WHOLE} />}
        {all && site && (
          <SitePlanOf key={site.id} all={all} site={site} asked={asked} part={part} edits={edits} />
        )}
        {all && !site && <TownPlan all={all} edits={edits} />}
      </main>
      <Kerb>
        <a class="act" href="/scan">
          <Icon name="tag" /> {t("app.planters.scan")}
        </a>
      </Kerb>
    </div>
  );
}
