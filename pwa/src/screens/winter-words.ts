/** How a planter stands with a list, in a word or two. */

import type { ListCard, PlanterCard } from "../domain/planter";
import { t, word } from "../i18n";

/** "Plug in" only where somebody saw it in: a missing plug holds no water either. */
export function stateWords(card: PlanterCard, list: ListCard): string {
  const plug = card.state.plug.state;
  if (list.list === "winterization" && list.state === "not-begun" && plug !== "in") {
    return t(plug === "missing" ? "app.board.plug_missing" : "app.board.plug_unseen");
  }
  return word("list_state", `${list.list}.${list.state}`);
}
