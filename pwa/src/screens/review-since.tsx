import { decisionWords } from "../components/wording";
import type { Gone, Since } from "../domain/since";
import { t, tn, when } from "../i18n";

function clearedWords(one: Gone): string {
  const name = one.name ?? t("app.review.left_register");
  const said = `${name}: ${one.flag}.`;
  return one.visit
    ? `${said} ${t("app.review.cleared_visit", { by: one.visit.by, when: when(one.visit.at) })}`
    : `${said} ${t("app.review.cleared_self")}`;
}

function counted(since: Since): string {
  const news = [...since.news.values()];
  const worse = news.filter((one) => one === "worse").length;
  const said = [
    ...(news.length > worse ? [tn("app.review.count_new", news.length - worse)] : []),
    ...(worse ? [tn("app.review.count_worse", worse)] : []),
    ...(since.cleared.length ? [tn("app.review.count_cleared", since.cleared.length)] : []),
    ...(since.decided.length ? [tn("app.review.count_decided", since.decided.length)] : []),
  ];
  return said.length ? `${said.join(", ")}.` : t("app.review.count_nothing");
}

/** What changed since this person last looked, and the press that remembers how it stands now. */
export function SinceLooked({ since, onLooked }: { since: Since | null; onLooked: () => void }) {
  return (
    <section class="slab since" aria-label={t("app.review.since_title")}>
      <p role="status">
        {since ? (
          <>
            <b>{t("app.review.since_when", { when: when(since.at) })}</b> {counted(since)}
          </>
        ) : (
          t("app.review.never_looked")
        )}
      </p>
      <button type="button" class="btn" onClick={onLooked}>
        {t("app.review.looked")}
      </button>
      {since && since.cleared.length + since.decided.length > 0 && (
        <details class="fold since__list">
          <summary>{t("app.review.cleared_title")}</summary>
          <ul>
            {since.cleared.map((one) => (
              <li key={`${one.planter} ${one.flag}`}>{clearedWords(one)}</li>
            ))}
            {since.decided.map((one) => (
              <li key={`${one.planter} ${one.flag}`}>
                {`${one.name}: ${one.flag}. ${decisionWords(one.decision)}.`}
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}
