import { useState } from "preact/hooks";
import { renewReview, settlePhone } from "../actions/review";
import { Icon } from "../components/icons";
import { ProblemNote } from "../components/problem-note";
import { Stake } from "../components/stake";
import type { PhoneToAsk, Problem } from "../domain/planter";
import { since, t, tn } from "../i18n";
import { worded } from "./use-register";

function PhoneLine({ phone, onProblem }: { phone: PhoneToAsk; onProblem: (p: Problem) => void }) {
  const [asked, setAsked] = useState(false);
  const settle = async () => {
    const answer = await settlePhone(phone);
    if (answer.problem) onProblem(worded(answer.problem));
    await renewReview();
  };
  return (
    <li class="case case--line">
      <div class="case__picture">
        <Icon name="phone" />
      </div>
      <div class="case__what stack stack--close">
        <p class="case__marks">
          <Stake urgency="this-week" small />
        </p>
        <p>
          <b>{t("app.review.phone_of", { who: phone.who })}</b> {phone.sentence}{" "}
          {t("app.people.last_used", { since: since(phone.last_heard) })}.
        </p>
        <p>
          <b>{phone.advice}</b>
        </p>
        {asked && <p class="small">{t("app.review.settle_what")}</p>}
        <div class="row row--wrap">
          <button
            type="button"
            class={`btn${asked ? " btn--need" : ""}`}
            onClick={() => (asked ? void settle() : setAsked(true))}
          >
            {t(asked ? "app.review.settle_sure" : "app.review.settle")}
          </button>
          {asked && (
            <button type="button" class="btn" onClick={() => setAsked(false)}>
              {t("app.review.settle_not")}
            </button>
          )}
        </div>
      </div>
    </li>
  );
}

/** Phones that hold old work, and numbers that never arrived: somebody has to ask. */
export function PhonesToAsk({ phones }: { phones: readonly PhoneToAsk[] }) {
  const [problem, setProblem] = useState<Problem | null>(null);
  if (!phones.length) return problem ? <ProblemNote problem={problem} /> : null;
  return (
    <section class="group act-group">
      <div class="group__head">
        <Stake urgency="this-week" />
        <h2>{t("app.review.phones")}</h2>
        <span>{tn("app.review.phones_count", phones.length)}</span>
      </div>
      {problem && <ProblemNote problem={problem} />}
      <ul>
        {phones.map((phone) => (
          <PhoneLine key={phone.device} phone={phone} onProblem={setProblem} />
        ))}
      </ul>
    </section>
  );
}
