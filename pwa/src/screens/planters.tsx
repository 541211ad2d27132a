import { useEffect, useMemo, useState } from "preact/hooks";
import { EmptyState } from "../components/empty-state";
import { Fold } from "../components/fold";
import { Icon } from "../components/icons";
import { Kerb } from "../components/kerb";
import { Chooser, SearchBox } from "../components/list-tools";
import { Potlet } from "../components/potlet";
import { Rim } from "../components/rim";
import { Stake } from "../components/stake";
import { levelWord } from "../components/wording";
import { aboveWords } from "../components/wording-care";
import { dayAhead, since, t, tn, today, word } from "../i18n";
import { FieldWays } from "./field-ways";
import {
  type Asked,
  groupsOf,
  ORDERS,
  type Order,
  type PlanterGroup,
  type PlanterRow,
  SHOWS,
  type Show,
} from "./planters-order";
import { readPlanters } from "./read-planters";
import { useDesk, useSignal } from "./use-frame";
import { useQuery, useTyped } from "./use-query";
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

/** The list as it opens. */
const USUAL = { search: "", order: "urgency", show: "cared-for", site: "" };

/** What is set, for the fold: "Most urgent first, with a flag, Ferry landing". */
function toolsWords(asked: Asked, sites: { id: string; name: string }[]): string {
  const site = sites.find((one) => one.id === asked.site)?.name;
  const show = asked.show === USUAL.show ? "" : word("planters_show", asked.show).toLowerCase();
  return [word("planters_order", asked.order), show, site].filter(Boolean).join(", ");
}

function Finder(props: {
  asked: Asked;
  sites: { id: string; name: string }[];
  search: string;
  onSearch: (search: string) => void;
  onChange: (change: Partial<Asked>) => void;
}) {
  const { asked, sites, onChange } = props;
  return (
    <div class="stack planters__top">
      <SearchBox
        label={t("app.planters.search")}
        value={props.search}
        onType={(text) => props.onSearch(text)}
      />
      <Fold summary={toolsWords(asked, sites)}>
        <Chooser
          label={t("app.planters.order")}
          value={asked.order}
          choices={ORDERS.map((value) => ({ value, word: word("planters_order", value) }))}
          onChoose={(order) => onChange({ order: order as Order })}
        />
        <Chooser
          label={t("app.planters.show")}
          value={asked.show}
          choices={SHOWS.map((value) => ({ value, word: word("planters_show", value) }))}
          onChoose={(show) => onChange({ show: show as Show })}
        />
        <Chooser
          label={t("app.planters.site")}
          value={asked.site}
          choices={[
            { value: "", word: t("app.planters.all_sites") },
            ...sites.map((site) => ({ value: site.id, word: site.name })),
          ]}
          onChoose={(site) => onChange({ site })}
        />
      </Fold>
    </div>
  );
}

/** How many of all are shown, where not all are, and the way back to all. */
function Narrowed({ count, all, onAll }: { count: number; all: number; onAll: () => void }) {
  return (
    <div class="planters__narrowed">
      <span>{t("app.planters.of_all", { count, all })}</span>
      <button type="button" class="btn btn--plain" onClick={onAll}>
        {t("app.planters.show_all")}
      </button>
    </div>
  );
}

function Nothing(props: { search: string; narrowed: boolean; pulled: boolean }) {
  const { search, narrowed, pulled } = props;
  if (search) return <EmptyState title={t("app.planters.no_match", { search })} />;
  if (narrowed) return <EmptyState title={t("app.planters.none_so")} />;
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

/** What the address asks for; what it cannot mean is as usual. */
function readAsked(query: typeof USUAL, search: string): Asked {
  return {
    search: search.trim(),
    order: ORDERS.find((one) => one === query.order) ?? "urgency",
    show: SHOWS.find((one) => one === query.show) ?? "cared-for",
    site: query.site,
  };
}

/** All planters of the town as this phone knows them; works without any network. */
export function PlantersScreen() {
  const all = useStored(["planters", "outbox", "town", "settings"], readPlanters);
  const [query, change] = useQuery(USUAL);
  const [search, setSearch] = useTyped(query.search, (text) => change({ search: text }));
  const asked = readAsked(query, search);
  const signal = useSignal();
  const desk = useDesk("planters");
  const groups = useMemo(
    () => (all ? groupsOf(all.cards, all.entries, asked, today()) : []),
    [all, asked.search, asked.order, asked.show, asked.site],
  );
  const narrowed = Boolean(asked.search || asked.site) || asked.show !== USUAL.show;
  const found = groups.reduce((sum, group) => sum + group.count, 0);
  const rows = useRows(all?.cards.length ?? 0);
  return (
    <div class="field field--wide">
      <Rim title={all?.town?.name ?? t("app.planters.title")} nav={desk?.nav ?? <FieldWays />} ways>
        {signal}
      </Rim>
      <main
        class={asked.order === "site" ? "planters planters--sites" : "planters"}
        aria-busy={!all}
      >
        <Finder
          asked={asked}
          sites={all?.sites ?? []}
          search={search}
          onSearch={setSearch}
          onChange={change}
        />
        {all && narrowed && (
          <Narrowed
            count={found}
            all={all.cards.length}
            onAll={() => {
              setSearch("");
              change({ ...USUAL, order: asked.order });
            }}
          />
        )}
        {all && !groups.length && (
          <Nothing search={asked.search} narrowed={narrowed} pulled={all.pulled} />
        )}
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
