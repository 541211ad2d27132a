/** Words for problems that the phone itself meets; a server's problem brings its own. */

import type { Problem } from "../domain/planter";
import { t } from "./index";

/** A problem that can be shown: the server's words, or ours where there was no answer. */
export function worded(problem: Problem): Problem {
  switch (problem.type) {
    case "/problems/no-answer":
      return {
        ...problem,
        title: t("app.problem.no_answer"),
        detail: t("app.problem.no_answer_detail"),
      };
    case "/problems/photo-unreadable":
      return {
        ...problem,
        title: t("app.problem.photo_unreadable"),
        detail: t("app.problem.photo_unreadable_detail"),
      };
    case "/problems/push-not-subscribed":
      return {
        ...problem,
        title: t("app.push.not_subscribed"),
        detail: t("app.push.not_subscribed_why"),
      };
    default:
      return problem.title ? problem : { ...problem, title: t("app.problem.refused") };
  }
}
