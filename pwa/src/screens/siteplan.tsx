import { useMemo } from "preact/hooks";
import { useLocation } from "preact-iso";
import { EmptyState } from "../components/empty-state";
import { Icon } from "../components/icons";
import { Kerb } from "../components/kerb";
import type { PlanItem } from "../components/plan-drawing";
import { Potlet } from "../components/potlet";
import { Rim } from "../components/rim";
import type { PlanterCard } from "../domain/planter";
import { isOn, type Sheet } from "../domain/site-plan";
import { t, tn, today, word } from "../i18n";
import { FieldWays } from "./field-ways";
import { readPlanters } from "./read-planters";
import {
  address,
  Chooser,
  Figure,
  PictureNotes,
  type Shown,
  usePlaced,
  ViewPick,
  WHOLE,
} from "./siteplan-figure";
import { PlanterList, SiteList, Unplaced } from "./siteplan-list";
import { type Part, type PlanView, partAround, siteView, townView } from "./siteplan-view";
import { useDesk, useSignal } from "./use-frame";
import { useStored } from "./use-stored";

type Read = Awaited<ReturnType<typeof readPlanters>>;
const LIST = "siteplan-list";

function NoPositions({ edits }: { edits: boolean }) {
  return (
    <EmptyState title={t("app.siteplan.none")}>
      <p>{t(edits ? "app.siteplan.unplaced_edit" : "app.siteplan.unplaced_ask")}</p>
    </EmptyState>
  );
}

/** What stands on the mark of a planter nothing is the matter with: its water, or that it is away. */
function calmOf(card: PlanterCard): Pick<PlanItem, "calm" | "calm_px"> {
  if (card.status === "in-use")
    return { calm: <Potlet level={card.state.level?.value ?? null} />, calm_px: 56 };
  return { calm: <span class="small">{word("status", card.status)}</span>, calm_px: 96 };
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
      ...calmOf(row.card),
    }))
    .filter((item) => isOn(sheet, item.spot));
}

interface PlanProps {
  all: Read;
  asked: Shown | undefined;
  edits: boolean;
}

/** What a coordinator may do about the picture. */
function EditPicture({ scope, there }: { scope: string; there: boolean }) {
  return (
    <a class="btn" href={`/register?part=siteplans&scope=${scope}`}>
      {t(there ? "app.siteplan.edit" : "app.siteplan.add")}
    </a>
  );
}

function SitePlanOf(props: PlanProps & { site: { id: string; name: string }; part: Part | null }) {
  const { all, site, asked, part, edits } = props;
  const view = useMemo(
    () => siteView(site, all.cards, all.entries, all.town, today(), part),
    [all, site, part?.near, part?.within],
  );
  const placed = usePlaced(all.town, site.id, view.origin, part ? "drawing" : asked);
  const sized = placed.sheet?.(1000);
  return (
    <>
      <div class="stack">
        {!part && <ViewPick placed={placed} scope={site.id} />}
        {view.placed.length < view.count && (
          <p class="row row--wrap">
            {tn("app.siteplan.part", view.placed.length, { site: site.name })}
            <a class="btn" href={address(site.id, "drawing", null)}>
              {t("app.siteplan.all_of", { site: site.name })}
            </a>
          </p>
        )}
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
            picture={placed.picture}
          />
        )}
        <PictureNotes placed={placed} />
        {edits && <EditPicture scope={site.id} there={placed.placed !== null} />}
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

function TownPlan({ all, asked, edits }: PlanProps) {
  const sites = all.town?.sites ?? [];
  const view = useMemo(() => townView(sites, all.cards), [sites, all.cards]);
  const standing = view.sites.flatMap((site) => (site.at ? [{ ...site, at: site.at }] : []));
  const placed = usePlaced(all.town, WHOLE, view.origin, asked);
  const itemsAt = (sheet: Sheet): PlanItem[] =>
    standing
      .map((site) => ({
        id: site.id,
        spot: sheet.spot(site.at),
        href: address(site.id, null, null),
        name: site.name,
        short: site.name,
        urgency: site.urgent[0]?.[0] ?? null,
        calm: <span class="small">{tn("app.planters.count", site.count)}</span>,
        calm_px: 100,
      }))
      .filter((item) => isOn(sheet, item.spot));
  return (
    <>
      <div class="stack">
        <ViewPick placed={placed} scope={WHOLE} />
        {standing.length === 0 ? (
          <NoPositions edits={edits} />
        ) : (
          <Figure
            label={tn("app.siteplan.label_town", standing.length)}
            places={standing.map((site) => site.at)}
            items={itemsAt}
            things={() => []}
            openGroup={() => `#${LIST}`}
            groupWord="sites"
            picture={placed.picture}
          />
        )}
        <PictureNotes placed={placed} />
        {edits && <EditPicture scope={WHOLE} there={placed.placed !== null} />}
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
        {all && !site && <TownPlan all={all} asked={asked} edits={edits} />}
      </main>
      <Kerb>
        <a class="act" href="/scan">
          <Icon name="tag" /> {t("app.planters.scan")}
        </a>
      </Kerb>
    </div>
  );
}
