/** Signing out with unsent work: it is never lost in silence (R26). */

import { useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { saveOutboxFile } from "../actions/save-file";
import { signOut } from "../actions/session";
import type { Me } from "../domain/planter";
import { t, tn } from "../i18n";
import { ring } from "../store/bell";
import { countWaiting } from "../store/outbox";
import { useStored } from "./use-stored";

/** Sign out at once when all is sent; otherwise the choices. */
export function SignOut({ me }: { me: Me }) {
  const { route } = useLocation();
  const [open, setOpen] = useState(false);
  const [tried, setTried] = useState(false);
  const waiting = useStored(["outbox", "photos"], () => countWaiting(me.person.id), [me.person.id]);
  if (!waiting) return null;
  const unsent = waiting.records + waiting.attention + waiting.photos;
  const leave = () => void signOut().then(() => route("/", true));
  if (!open) {
    return (
      <button
        type="button"
        class="btn btn--wide"
        onClick={() => (unsent ? setOpen(true) : leave())}
      >
        {t("app.sign_out.do")}
      </button>
    );
  }
  return (
    <section class="slab stack" aria-live="polite">
      <h2>{unsent ? tn("app.sign_out.unsent", unsent) : t("app.sign_out.all_sent")}</h2>
      {unsent > 0 && (
        <>
          <p>{t("app.sign_out.choose")}</p>
          <button
            type="button"
            class="btn btn--main"
            onClick={() => {
              setTried(true);
              ring("asked");
            }}
          >
            {t("app.sign_out.send")}
          </button>
          {tried && <p class="small soft">{t("app.sign_out.sending")}</p>}
          <button type="button" class="btn" onClick={() => void saveOutboxFile()}>
            {t("app.sign_out.file")}
          </button>
        </>
      )}
      <button type="button" class="btn" onClick={leave}>
        {unsent ? t("app.sign_out.keep", { name: me.person.name }) : t("app.sign_out.do")}
      </button>
      <button type="button" class="btn btn--plain" onClick={() => setOpen(false)}>
        {t("app.sign_out.stay")}
      </button>
    </section>
  );
}
