import { PLANTERS_CSV } from "../actions/register";
import { Chooser, SearchBox } from "../components/list-tools";
import type { Register, RegisterPlanter } from "../domain/planter";
import { display } from "../domain/tag-code";
import { t, tn, volume, word } from "../i18n";
import { useQuery, useTyped } from "./use-query";

const STATUSES = ["in-use", "stored", "retired", "lost"];
const USUAL = { search: "", order: "name", status: "", site: "" };
const names = new Intl.Collator(undefined, { numeric: true });

type Compare = (one: RegisterPlanter, other: RegisterPlanter) => number;
const byName: Compare = (one, other) => names.compare(one.name, other.name);
const BY: Record<string, Compare> = {
  name: byName,
  size: (one, other) => names.compare(one.size, other.size) || byName(one, other),
  reservoir: (one, other) => other.reservoir_l - one.reservoir_l || byName(one, other),
  status: (one, other) =>
    STATUSES.indexOf(one.status) - STATUSES.indexOf(other.status) || byName(one, other),
  // Those without a tag come first: they want one.
  tag: (one, other) => (one.code ?? "").localeCompare(other.code ?? "") || byName(one, other),
};

/** All planters of the register in a table; a name opens its sheet. */
export function PlanterTable({ register }: { register: Register }) {
  const [asked, change] = useQuery(USUAL);
  const [typed, setTyped] = useTyped(asked.search, (search) => change({ search }));
  const sites = new Map(register.sites.map((site) => [site.id, site.name]));
  const wanted = typed.trim().toLowerCase();
  const shown = register.planters
    .filter(
      (planter) =>
        (!asked.status || planter.status === asked.status) &&
        (!asked.site || planter.site === asked.site) &&
        `${planter.name} ${sites.get(planter.site) ?? ""} ${planter.code ?? ""}`
          .toLowerCase()
          .includes(wanted),
    )
    .sort(BY[asked.order] ?? byName);
  return (
    <section class="stack">
      <div class="stack list-tools">
        <div class="list-tools__find">
          <SearchBox label={t("app.register.find")} value={typed} onType={setTyped} />
          <a class="btn" href={PLANTERS_CSV} download>
            {t("app.register.save_csv")}
          </a>
        </div>
        <div class="list-tools__row">
          <Chooser
            label={t("app.register.order")}
            value={asked.order}
            choices={Object.keys(BY).map((value) => ({
              value,
              word: word("register_order", value),
            }))}
            onChoose={(order) => change({ order })}
          />
          <Chooser
            label={t("app.register.status")}
            value={asked.status}
            choices={[
              { value: "", word: t("app.register.any_status") },
              ...STATUSES.map((value) => ({ value, word: word("status", value) })),
            ]}
            onChoose={(status) => change({ status })}
          />
          <Chooser
            label={t("app.register.site")}
            value={asked.site}
            choices={[
              { value: "", word: t("app.planters.all_sites") },
              ...register.sites.map((site) => ({ value: site.id, word: site.name })),
            ]}
            onChoose={(site) => change({ site })}
          />
        </div>
      </div>
      <p class="soft">{tn("app.register.shown", shown.length)}</p>
      <table class="table table--rows">
        <thead>
          <tr>
            <th scope="col">{t("app.register.name")}</th>
            <th scope="col">{t("app.register.size")}</th>
            <th scope="col" class="num">
              {t("app.register.reservoir")}
            </th>
            <th scope="col">{t("app.register.tag")}</th>
            <th scope="col">{t("app.register.status")}</th>
          </tr>
        </thead>
        <tbody>
          {shown.map((planter) => (
            <tr key={planter.id}>
              <th scope="row">
                <a class="table__way" href={`/register?planter=${planter.id}`}>
                  {planter.name}
                </a>
              </th>
              <td>{planter.size}</td>
              <td class="num">{volume(planter.reservoir_l)}</td>
              <td>{planter.code ? display(planter.code) : t("app.register.no_tag")}</td>
              <td>{word("status", planter.status)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
