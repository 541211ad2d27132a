/** Notes over or in place of the screens. They must work when nearly nothing else does. */

import { useEffect, useState } from "preact/hooks";
import { saveOutboxFile } from "./actions/save-file";
import { Icon } from "./components/icons";
import { Kerb } from "./components/kerb";
import { Rim } from "./components/rim";
import { t, tn } from "./i18n";
import { useStored } from "./screens/use-stored";
import type { StoreHealth } from "./store/database";
import { listDrafts } from "./store/drafts";
import { currentUpdate, dismissUpdate, onUpdate, takeUpdate } from "./sw/updates";

/** Good news needs no tap to go away [ms]. */
const READY_MS = 8_000;

/** "Works offline now", or "new version: reload?". It asks, and waits while a form is open. */
export function UpdateNote() {
  const [update, setUpdate] = useState(currentUpdate());
  useEffect(() => onUpdate(setUpdate), []);
  useEffect(() => {
    if (update !== "ready") return;
    const timer = setTimeout(dismissUpdate, READY_MS);
    return () => clearTimeout(timer);
  }, [update]);
  const drafts = useStored(["drafts"], listDrafts);
  if (update === "none") return null;
  const ready = update === "ready";
  return (
    <div class="update" role="status">
      <p>
        {ready ? t("app.update.ready") : t("app.update.waiting")}
        {!ready && drafts?.length ? ` ${tn("app.update.drafts", drafts.length)}` : ""}
      </p>
      <div class="row">
        {!ready && (
          <button type="button" class="btn" onClick={takeUpdate}>
            {t("app.update.reload")}
          </button>
        )}
        <button type="button" class="btn" onClick={dismissUpdate}>
          {ready ? t("app.update.close") : t("app.update.later")}
        </button>
      </div>
    </div>
  );
}

/** The store cannot be used: an old tab, a newer tab, or a browser that keeps nothing. */
export function StoreTrouble({ health }: { health: Exclude<StoreHealth, "open"> | "none" }) {
  return (
    <div class="field">
      <Rim title="Potrounds" />
      <main>
        <div class="caution" role="alert">
          <Icon name="warn" />
          <p>{t(`app.store.${health}`)}</p>
        </div>
      </main>
      <Kerb>
        <button type="button" class="act" onClick={() => location.reload()}>
          {t("app.store.reload")}
        </button>
      </Kerb>
    </div>
  );
}

/** A screen broke. What was saved is still there, and can be carried away as a file. */
export function Trouble({ onAgain }: { onAgain: () => void }) {
  return (
    <div class="field">
      <Rim title={t("app.trouble.title")} />
      <main>
        <p>{t("app.trouble.safe")}</p>
        <button type="button" class="btn" onClick={() => void saveOutboxFile()}>
          {t("app.outbox.save_file")}
        </button>
      </main>
      <Kerb>
        <button
          type="button"
          class="act"
          onClick={() => {
            history.replaceState(null, "", "/");
            onAgain();
          }}
        >
          {t("app.trouble.again")}
        </button>
      </Kerb>
    </div>
  );
}
