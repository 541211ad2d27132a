import { useEffect, useMemo, useState } from "preact/hooks";
import { EmptyState } from "../components/empty-state";
import { Icon } from "../components/icons";
import { Kerb } from "../components/kerb";
import { PickRow } from "../components/pick-row";
import { Potlet } from "../components/potlet";
import { Rim } from "../components/rim";
import { Stake } from "../components/stake";
import { levelWord } from "../components/wording";
import { aboveWords } from "../components/wording-care";
import { dayAhead, since, t, tn, today, word } from "../i18n";
import { FieldWays } from "./field-ways";
import { groupsOf, type Order, type PlanterGroup, type PlanterRow } from "./planters-order";
import { readPlanters } from "./read-planters";
import { useDesk, useSignal } from "./use-frame";
import { useStored } from "./use-stored";

/** The last visit and what it found: "6 days ago: half". */
function lastWords({ card }: PlanterRow): string {
  const { level, last_visit } = card.state;
  if (!last_visit) return t("app.planters.never");
  if (!level || level.record !== last_visit.record) {
    return t("app.planters.visited", { since: since(last_visit.at) });
  }
  return t("app.planters.last", { since: since(level.at), level: levelWord(level.value) });
}

/** "likely empty Friday"; on a card of days ago the day may have passed. */
function emptyWords(day: string): string {
  return day < today()
    ? t("app.planters.empty_past")
    : t("app.planters.empty_on", { day: dayAhead(day) });
}

function Row({ row, withSite }: { row: PlanterRow; withSite: boolean }) {
  const { card, flag } = row;
  return (
    <a class="planters__row" href={`/p/${card.id}`}>
      <Potlet level={card.state.level?.value ?? null} />
      <span class="stack stack--close">
        <b>{card.name}</b>
        {flag && (
          <span class="planters__what">
            <Stake urgency={flag.urgency} small />
            <span>
              {flag.name}
              {row.more > 0 && <> {tn("app.planters.more", row.more)}</>}
            </span>
          </span>
        )}
        {row.aboveBy && <span class="small">{aboveWords(row.aboveBy)}</span>}
        {row.emptyOn && <span class="small">{emptyWords(row.emptyOn)}</span>}
        <span class="small soft">
          {lastWords(row)}
          {withSite && !card.name.startsWith(card.site.name) ? `, ${card.site.name}` : ""}
          {card.status !== "in-use" ? `, ${word("status", card.status).toLowerCase()}` : ""}
        </span>
      </span>
      {row.unsent > 0 && (
        <span class="unsent row">
          <Icon name={row.needsYou ? "warn" : "tray"} />
          <span aria-hidden="true">{row.unsent}</span>
          <span class="hidden-text">{tn("app.planters.unsent", row.unsent)}</span>
        </span>
      )}
    </a>
  );
}

function Group({ group }: { group: PlanterGroup }) {
  return (
    <section class="planters__site">
      {group.site !== null && (
        <div class="planters__head">
          <h2>{group.site}</h2>
          <span class="small push">{tn("app.planters.count", group.count)}</span>
        </div>
      )}
      <ul>
        {group.rows.map((row) => (
          <li key={row.card.id}>
            <Row row={row} withSite={group.site === null} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Finder(props: {
  search: string;
  onSearch: (search: string) => void;
  order: Order;
  onOrder: (order: Order) => void;
}) {
  return (
    <div class="stack planters__top">
      <div class="search">
        <Icon name="search" />
        <input
          type="search"
          aria-label={t("app.planters.search")}
          placeholder={t("app.planters.search")}
          value={props.search}
          onInput={(event) => props.onSearch(event.currentTarget.value)}
        />
      </div>
      <PickRow
        legend={t("app.planters.order")}
        quiet
        value={props.order}
        onPick={(order) => props.onOrder(order ?? props.order)}
        choices={[
          { value: "urgency", word: t("app.planters.by_urgency") },
          { value: "site", word: t("app.planters.by_site") },
        ]}
      />
    </div>
  );
}

function Nothing({ search, pulled }: { search: string; pulled: boolean }) {
  if (search) return <EmptyState title={t("app.planters.no_match", { search })} />;
  return (
    <EmptyState title={t("app.planters.none")}>
      <p>{pulled ? t("app.planters.none_yet") : t("app.planters.not_pulled")}</p>
    </EmptyState>
  );
}

const FIRST_ROWS = 30;
const MORE_ROWS = 120;

/** A first screenful at once and the rest right after it, so that hundreds of planters open at once. */
function useRows(all: number): number {
  const [rows, setRows] = useState(FIRST_ROWS);
  useEffect(() => {
    if (rows >= all) return;
    const timer = setTimeout(() => setRows(rows + MORE_ROWS), 30);
    return () => clearTimeout(timer);
  }, [rows, all]);
  return rows;
}

/** The first so many rows of the groups. */
function cut(groups: PlanterGroup[], rows: number): PlanterGroup[] {
  let left = rows;
  return groups.flatMap((group) => {
    const some = group.rows.slice(0, Math.max(0, left));
    left -= group.rows.length;
    return some.length ? [{ ...group, rows: some }] : [];
  });
}

/** All planters of the town as this phone knows them; works without any network. */
export function PlantersScreen() {
  const all = useStored(["planters", "outbox", "town", "settings"], readPlanters);
  const [search, setSearch] = useState("");
  const [order, setOrder] = useState<Order>("urgency");
  const signal = useSignal();
  const desk = useDesk("planters");
  const groups = useMemo(
    () => (all ? groupsOf(all.cards, all.entries, search.trim(), order, today()) : []),
    [all, search, order],
  );
  const rows = useRows(all?.cards.length ?? 0);
  return (
    <div class="field field--wide">
      <Rim title={all?.town?.name ?? t("app.planters.title")} nav={desk?.nav ?? <FieldWays />} ways>
        {signal}
      </Rim>
      <main class={order === "site" ? "planters planters--sites" : "planters"} aria-busy={!all}>
        <Finder search={search} onSearch={setSearch} order={order} onOrder={setOrder} />
        {all && !groups.length && <Nothing search={search} pulled={all.pulled} />}
        {cut(groups, rows).map((group) => (
          <Group key={group.site ?? ""} group={group} />
        ))}
      </main>
      <Kerb>
        <a class="act" href="/scan">
          <Icon name="tag" /> {t("app.planters.scan")}
        </a>
      </Kerb>
    </div>
  );
}
