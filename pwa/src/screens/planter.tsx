import { EmptyState } from "../components/empty-state";
import { Kerb } from "../components/kerb";
import { Rim } from "../components/rim";
import type { PlanterCard } from "../domain/planter";
import { display } from "../domain/tag-code";
import { t, tn, volume } from "../i18n";
import { PlanterNow } from "./planter-now";
import { PlanterPast } from "./planter-past";
import { useDesk, useSignal } from "./use-frame";
import { usePlanter } from "./use-planter";

export interface PlanterScreenProps {
  id: string;
  /** True when it was opened by a tag that has been replaced since. */
  replaced?: boolean | undefined;
}

function Note({ card }: { card: PlanterCard }) {
  const size = t("app.planter.holds", { size: card.size, litres: volume(card.reservoir_l) });
  return (
    <>
      {card.name.startsWith(card.site.name) ? size : `${card.site.name}, ${size}`}
      {card.code && (
        <>
          , <span class="nowrap">{t("app.planter.tag", { code: display(card.code) })}</span>
        </>
      )}
    </>
  );
}

function Unknown() {
  return (
    <div class="field">
      <Rim title={t("app.planter.unknown")} back="/planters" />
      <main>
        <EmptyState title={t("app.planter.unknown")}>
          <p>{t("app.planter.unknown_why")}</p>
          <a class="btn" href="/scan">
            {t("app.planter.scan_again")}
          </a>
        </EmptyState>
      </main>
    </div>
  );
}

function acts(card: PlanterCard): boolean {
  return card.status === "in-use" || card.status === "stored";
}

/** One planter: what is the matter, what is in it, what to do, what was done. From this phone only. */
export function PlanterScreen({ id, replaced }: PlanterScreenProps) {
  const planter = usePlanter(id);
  const signal = useSignal();
  const desk = useDesk("planters");
  if (planter === null) return <Unknown />;
  if (!planter) return <div class="field" aria-busy="true" />;
  const { view, me } = planter;
  const { card } = view;
  return (
    <div class="field field--wide">
      <Rim title={card.name} back="/planters" nav={desk?.nav} above="" note={<Note card={card} />}>
        {signal}
      </Rim>
      {replaced && (
        <p class="banner" role="status">
          {t("app.planter.replaced_tag")}
        </p>
      )}
      {!acts(card) && <p class="banner">{t("app.planter.not_in_use")}</p>}
      <main class="record">
        <PlanterNow view={view} />
        <PlanterPast view={view} me={me} town={planter.town} />
      </main>
      <Kerb>
        {view.waiting.length > 0 && (
          <p class="small">
            <b>{tn("app.planter.not_assessed", view.waiting.length)}</b>
          </p>
        )}
        <a class="act" href={`/p/${card.id}/check-in`}>
          {t("app.planter.check_in")}
        </a>
      </Kerb>
    </div>
  );
}
