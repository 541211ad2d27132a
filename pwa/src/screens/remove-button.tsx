import { useState } from "preact/hooks";
import { t } from "../i18n";

/** Removes after it was asked once, on the spot. */
export function RemoveButton(props: { name: string; onRemove: () => void }) {
  const [asked, setAsked] = useState(false);
  if (!asked) {
    return (
      <button type="button" class="btn" onClick={() => setAsked(true)}>
        {t("app.plan.remove")}
      </button>
    );
  }
  return (
    <>
      <button type="button" class="btn btn--need" onClick={props.onRemove}>
        {t("app.plan.remove_yes", { name: props.name })}
      </button>
      <button type="button" class="btn" onClick={() => setAsked(false)}>
        {t("app.plan.remove_no")}
      </button>
    </>
  );
}
