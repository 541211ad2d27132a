import { nextRounds } from "../domain/next-round";
import type { RoundCard } from "../domain/planter";
import type { ReviewCase } from "../domain/review";
import { dayWords, t, tn, today, volume } from "../i18n";

/** The round that fills up from here: who goes, how many stops, what was put on it. */
export function NextRound({ rounds, inHand }: { rounds: RoundCard[]; inHand: ReviewCase[] }) {
  const next = nextRounds(rounds, today());
  const put = inHand.filter((one) => one.flag.decision?.decision === "next-round").length;
  return (
    <section class="slab stack stack--close" aria-label={t("app.review.next_round")}>
      <h2>{t("app.review.next_round")}</h2>
      {next[0] ? (
        <>
          <p>
            <b>{dayWords(next[0].day)}</b>
          </p>
          <ul>
            {next.map((round) => (
              <li key={round.id}>
                {[
                  round.person.name,
                  tn("app.rounds.stops", round.stops.length),
                  ...(round.litres_l >= 0.5 ? [volume(Math.round(round.litres_l))] : []),
                ].join(", ")}
              </li>
            ))}
          </ul>
        </>
      ) : (
        <p>{t("app.review.no_round")}</p>
      )}
      {put > 0 && <p>{tn("app.review.put_on", put)}</p>}
      <a class="btn" href="/rounds">
        {t("app.review.see_plan")}
      </a>
    </section>
  );
}
