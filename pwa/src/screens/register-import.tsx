import { importPlanters } from "../actions/register";
import { t } from "../i18n";
import { FileImport } from "./file-import";

const COLUMNS =
  "name, site, size, shape, reservoir_l, gauge, status, installed_on, weight_moist_kg, weight_full_kg, " +
  "mix_l, top_area_m2, canopy_m2, sun, wind, rain_reaches, planted_on, plants, notes, lat, lon";

/** Planters from a CSV file: tried first, taken only when every row is right. */
export function ImportPlanters({ reload }: { reload: () => Promise<void> }) {
  return (
    <FileImport
      title={t("app.import.title")}
      columns={COLUMNS}
      hint={t("app.import.columns")}
      words="app.import"
      take={importPlanters}
      reload={reload}
    />
  );
}
