/** What stands beside a site plan: the same in words, in the same order. */

import { Icon } from "../components/icons";
import { Stake } from "../components/stake";
import type { PlanterCard } from "../domain/planter";
import { apart, type Metres, windTo } from "../domain/site-plan";
import { t, tn, word } from "../i18n";
import { distance } from "../i18n/measures";
import type { PlacedRow, PlanView, SiteRow } from "./siteplan-view";

/** Nearer than this to the middle there is no way to go [m]. */
const MIDDLE_M = 3;

/** "40 m west of the middle". */
export function fromMiddle(at: Metres, middle: Metres | null): string {
  const far = middle ? apart(middle, at) : 0;
  if (!middle || far < MIDDLE_M) return t("app.siteplan.in_middle");
  return t("app.siteplan.from_middle", {
    distance: distance(far),
    wind: word("wind", windTo(middle, at)),
  });
}

/** "2 today, 1 this week", or that nothing is the matter. */
export function urgentWords(site: SiteRow): string {
  if (!site.urgent.length) return t("app.siteplan.calm");
  return site.urgent
    .map(([urgency, count]) => `${count} ${word("urgency", urgency).toLowerCase()}`)
    .join(", ");
}

function Row({ one, middle, off }: { one: PlacedRow; middle: Metres | null; off: boolean }) {
  const { card, flag, more } = one.row;
  return (
    <li>
      <a class="siteplan__row" href={`/p/${card.id}`}>
        <b class="siteplan__short" aria-hidden="true">
          {one.short}
        </b>
        <span class="stack stack--close">
          <b>{card.name}</b>
          {flag ? (
            <span class="planters__what">
              <Stake urgency={flag.urgency} small />
              <span>
                {flag.name}
                {more > 0 && <> {tn("app.planters.more", more)}</>}
              </span>
            </span>
          ) : (
            <span class="small">
              {card.status === "in-use" ? t("app.siteplan.calm") : word("status", card.status)}
            </span>
          )}
          <span class="small soft">
            {fromMiddle(one.at, middle)}
            {one.nearest &&
              `, ${t("app.siteplan.nearest", {
                distance: distance(one.nearest.far_m),
                name: one.nearest.name,
              })}`}
            {off && `, ${t("app.siteplan.off_picture")}`}
          </span>
        </span>
      </a>
    </li>
  );
}

/** The planters of a site. `isOff`: does not lie on the picture that is shown. */
export function PlanterList(props: {
  view: PlanView;
  site: string;
  isOff: (at: Metres) => boolean;
}) {
  const { view } = props;
  return (
    <section class="stack stack--close">
      <h2>{t("app.siteplan.list", { site: props.site })}</h2>
      <ol>
        {view.placed.map((one) => (
          <Row key={one.row.card.id} one={one} middle={view.middle} off={props.isOff(one.at)} />
        ))}
      </ol>
      {view.taps.length > 0 && (
        <ul class="siteplan__taps small">
          {view.taps.map(({ tap, at }) => (
            <li key={tap.id} class="row">
              <Icon name="tap" />
              <span>
                <b>{tap.name}</b>, {fromMiddle(at, view.middle)}
              </span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** The sites of the town. */
export function SiteList({ sites, middle }: { sites: SiteRow[]; middle: Metres | null }) {
  return (
    <section class="stack stack--close">
      <h2>{t("app.siteplan.sites")}</h2>
      <ol>
        {sites.map((site) => (
          <li key={site.id}>
            <a class="siteplan__row siteplan__row--site" href={`/siteplan?site=${site.id}`}>
              <span class="stack stack--close">
                <b>{site.name}</b>
                <span class="planters__what">
                  {site.urgent[0] && <Stake urgency={site.urgent[0][0]} small />}
                  <span>
                    {tn("app.planters.count", site.count)}: {urgentWords(site)}
                  </span>
                </span>
                <span class="small soft">
                  {site.at ? fromMiddle(site.at, middle) : t("app.siteplan.site_unplaced")}
                </span>
              </span>
            </a>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** Planters that nobody gave a position, and what to do about it. */
export function Unplaced({ cards, edits }: { cards: PlanterCard[]; edits: boolean }) {
  if (!cards.length) return null;
  return (
    <section class="stack stack--close">
      <h2>{t("app.siteplan.unplaced")}</h2>
      <p class="small">{t(edits ? "app.siteplan.unplaced_edit" : "app.siteplan.unplaced_ask")}</p>
      <ul>
        {cards.map((card) => (
          <li key={card.id}>
            <a
              class="siteplan__row siteplan__row--site"
              href={edits ? `/register?planter=${card.id}&part=place` : `/p/${card.id}`}
            >
              <b>{card.name}</b>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
