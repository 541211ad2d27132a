import { useState } from "preact/hooks";
import { PLANTERS_CSV } from "../actions/register";
import { Field } from "../components/field";
import type { Register } from "../domain/planter";
import { display } from "../domain/tag-code";
import { t, tn, volume, word } from "../i18n";

/** All planters of the register in a table; a name opens its sheet. */
export function PlanterTable({ register }: { register: Register }) {
  const [wanted, setWanted] = useState("");
  const sites = new Map(register.sites.map((site) => [site.id, site.name]));
  const shown = register.planters.filter((planter) =>
    `${planter.name} ${sites.get(planter.site) ?? ""} ${planter.code ?? ""}`
      .toLowerCase()
      .includes(wanted.trim().toLowerCase()),
  );
  return (
    <section class="stack">
      <div class="form form--beside">
        <Field label={t("app.register.find")}>
          <input type="search" value={wanted} onInput={(e) => setWanted(e.currentTarget.value)} />
        </Field>
        <a class="btn" href={PLANTERS_CSV} download>
          {t("app.register.save_csv")}
        </a>
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
