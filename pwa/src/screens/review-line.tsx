import { useMemo } from "preact/hooks";
import { Stake } from "../components/stake";
import { decisionWords, visitWords } from "../components/wording";
import type { FlagCard, Person, RoundCard } from "../domain/planter";
import type { ReviewCase } from "../domain/review";
import type { News } from "../domain/since";
import { inUnits, t, word } from "../i18n";
import { OpenedCase } from "./review-case";
import { CasePicture } from "./review-picture";

/** What was decided about a flag, by whom, until when, and whether the server knows it yet. */
function Decided({ flag, unsent }: { flag: FlagCard; unsent: boolean }) {
  const made = flag.decision;
  if (!made) return null;
  return (
    <p class="small">
      <b>{decisionWords(made)}</b>
      {made.note ? `: ${made.note}` : ""}
      {made.outdated ? ` ${t("app.review.outdated")}` : ""}{" "}
      {unsent && <span class="unsent">{t("app.record_state.not_sent")}</span>}
    </p>
  );
}

/** A passer-by's own words stand nowhere but here, before the coordinator. */
function reportWords({ flag, evidence }: ReviewCase): string {
  const report = evidence.find((visit) => visit.report);
  return flag.code === "public_report_waiting" && report ? `“${visitWords(report)}”` : "";
}

/** What all lines of the review share. */
export interface Lines {
  people: Person[];
  rounds: RoundCard[];
  /** Cases with a decision of this phone that has not been sent yet. */
  unsent: ReadonlySet<string>;
  news: ReadonlyMap<string, News>;
  chosen: ReadonlySet<string>;
  onChoose: (keys: readonly string[], chosen: boolean) => void;
  /** The one case that is open. */
  open: string | null;
  onOpen: (key: string | null) => void;
}

/** One flag at one planter: picture, urgency, sentence; chosen by its tick, opened by its words. */
export function CaseLine({ one, lines }: { one: ReviewCase; lines: Lines }) {
  const { key, planter, flag } = one;
  const open = lines.open === key;
  const news = lines.news.get(key);
  const checked = lines.chosen.has(key);
  const unsent = lines.unsent.has(key);
  const name = `${planter.name}: ${flag.name}.`;
  const report = reportWords(one);
  // The same drawing is left alone: a tick among sixty must not draw sixty anew.
  return useMemo(
    () => (
      <li class="case case--line">
        <label class="case__tick">
          <input
            type="checkbox"
            checked={checked}
            onChange={(e) => lines.onChoose([key], e.currentTarget.checked)}
          />
          <span class="hidden-text">{t("app.review.choose_one", { name })}</span>
        </label>
        <div class="case__picture">
          <CasePicture one={one} />
        </div>
        <div class="case__what">
          <button
            type="button"
            class="case__words"
            aria-expanded={open}
            onClick={() => lines.onOpen(open ? null : key)}
          >
            <span class="case__marks">
              <Stake urgency={flag.urgency} small />
              {news && <b class="news">{word("news", news)}</b>}
              <span class="case__more push">
                {t(open ? "app.review.close" : "app.review.look")}
              </span>
            </span>
            <span>
              <b>{name}</b> {inUnits(flag.sentence)} {report}
            </span>
          </button>
          <Decided flag={flag} unsent={unsent} />
        </div>
        {open && (
          <OpenedCase
            one={one}
            people={lines.people}
            rounds={lines.rounds}
            onDone={() => lines.onOpen(null)}
          />
        )}
      </li>
    ),
    [one, checked, open, news, unsent, lines.people, lines.rounds],
  );
}

/** Cases one under the other. */
export function CaseList({ cases, lines }: { cases: readonly ReviewCase[]; lines: Lines }) {
  return (
    <ul>
      {cases.map((one) => (
        <CaseLine key={one.key} one={one} lines={lines} />
      ))}
    </ul>
  );
}
