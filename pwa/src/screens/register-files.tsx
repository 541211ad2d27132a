import { FILES, importVisits } from "../actions/report";
import { Caution } from "../components/caution";
import { t, word } from "../i18n";
import { FileImport } from "./file-import";
import { OutboxImport } from "./outbox-import";

const COLUMNS =
  "planter, day, time, by, level, read_by, litres_l, litres_gal, litres_how, overhead_l, overflow, " +
  "plants_1_to_5, signs, done, plug, feed_what, feed_strength, note";

/** Everything as a file, and visits of the past from one. */
export function Files({ reload }: { reload: () => Promise<void> }) {
  return (
    <div class="stack stack--wide">
      <section class="stack">
        <h2>{t("app.files.out")}</h2>
        <ul class="files">
          {Object.entries(FILES).map(([name, address]) => (
            <li key={name} class="stack stack--close">
              <a class="btn" href={address} download>
                {word("files_of", name)}
              </a>
              <p class="small soft">{word("files_hint", name)}</p>
            </li>
          ))}
        </ul>
        <Caution>{t("app.files.keep_safe")}</Caution>
      </section>
      <FileImport
        title={t("app.files.visits")}
        columns={COLUMNS}
        hint={t("app.files.visits_hint")}
        words="app.files.take_in"
        take={importVisits}
        reload={reload}
      />
      <OutboxImport reload={reload} />
    </div>
  );
}
