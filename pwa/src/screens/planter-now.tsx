import { Caution } from "../components/caution";
import { FlagCard } from "../components/flag-card";
import { Fold } from "../components/fold";
import { Icon } from "../components/icons";
import { PlanterCut } from "../components/planter-cut";
import {
  decisionWords,
  type Expected,
  expectedTopUp,
  leftWords,
  levelWord,
  readToday,
  toPour,
  visitWords,
} from "../components/wording";
import type { PlanterView } from "../domain/pending";
import type { FlagCard as Flag, PlanterCard } from "../domain/planter";
import { atOdds, forecastLitres, freshWater, type Litres } from "../domain/water";
import { inUnits, t, tn, today, volume, weight, when } from "../i18n";
import { PhotoThumb } from "./photo-thumb";
import { Establishing } from "./planter-care";
import { WaterSaid } from "./planter-water";
import { openFlags } from "./planters-order";

/** The check-ins a flag rests on, so that it can be judged on the spot. */
function Ground({ flag, card }: { flag: Flag; card: PlanterCard }) {
  const known = new Map([...card.visits, ...card.evidence].map((visit) => [visit.record, visit]));
  const visits = flag.records.flatMap((record) => known.get(record) ?? []);
  if (!visits.length) return null;
  return (
    <Fold summary={tn("app.planter.rests_on", visits.length, { name: flag.name })}>
      <ul class="stack small">
        {visits.map((visit) => (
          <li key={visit.record}>
            <b>
              {when(visit.at)}, {visit.by}:
            </b>{" "}
            {visitWords(visit)}
          </li>
        ))}
      </ul>
    </Fold>
  );
}

/** A flag with what was decided about it. */
function Flagged({ flag, level }: { flag: Flag; level?: 2 | 3 }) {
  return (
    <FlagCard flag={flag} level={level ?? 3}>
      {flag.decision && <p class="small soft">{decisionWords(flag.decision)}</p>}
    </FlagCard>
  );
}

/** What else is the matter, under the drawing; what was set aside stays one tap away. */
function OtherFlags({ card }: { card: PlanterCard }) {
  const [, ...others] = openFlags(card);
  const quiet = card.flags.filter((flag) => flag.quiet);
  if (!others.length && !quiet.length) return null;
  return (
    <div class="flags">
      {others.map((flag) => (
        <div key={flag.code} class="flags__one">
          <Flagged flag={flag} level={2} />
          <Ground flag={flag} card={card} />
        </div>
      ))}
      {quiet.length > 0 && (
        <Fold summary={tn("app.planter.set_aside", quiet.length)}>
          {quiet.map((flag) => (
            <Flagged key={flag.code} flag={flag} />
          ))}
        </Fold>
      )}
    </div>
  );
}

/** The water as it is drawn: the last reading, or where the forecast for today puts it. */
interface Drawn {
  level: number | null;
  confirmed: boolean;
  gap: Expected | null;
  left: string;
  seen: string;
  label: string | null;
}

/** The water as forecast for today, drawn dashed: nobody has seen it there. */
function drawnAhead(card: PlanterCard, ahead: Litres): Drawn {
  const left = Math.max(0, card.reservoir_l - ahead.litres_l);
  const gap = toPour(ahead);
  const full = !gap?.litres_l;
  const read = card.state.level;
  const values = { litres: gap?.litres ?? "", range: gap?.range ?? "" };
  return {
    level: full ? 1 : left / card.reservoir_l,
    confirmed: false,
    gap: full ? null : gap,
    left: full ? t("app.water.likely_full") : leftWords(left, true),
    seen: read
      ? t("app.water.last_seen", { level: levelWord(read.value), when: when(read.at) })
      : "",
    label: full ? t("app.water.cut_full") : t("app.water.cut", { ...values, left: volume(left) }),
  };
}

/** The last reading as it was drawn before there was any forecast. */
function drawnRead(view: PlanterView): Drawn {
  const { card, waiting } = view;
  const level = card.state.level;
  const value = level?.value ?? null;
  const expected = expectedTopUp(card, value);
  return {
    level: value,
    confirmed: !waiting.some((entry) => entry.id === level?.record),
    gap: value !== null && value < 1 ? expected : null,
    left: value === 1 ? t("app.planter.full") : value ? leftWords(card.reservoir_l * value) : "",
    seen: level ? t("app.planter.seen", { when: when(level.at) }) : "",
    label: level
      ? t("app.planter.cut", {
          level: levelWord(level.value),
          when: when(level.at),
          litres: expected?.litres ?? "",
        })
      : null,
  };
}

/** The drawing's words: what is in, what fits, and how sure that is. */
function Cut({ view }: { view: PlanterView }) {
  const { card } = view;
  const plug = card.state.plug.state;
  // Nobody is to fill a planter that was drained for the winter.
  const drained = plug === "out";
  const water = freshWater(card, view.waiting);
  const odd = atOdds(card, water, today(), readToday(card));
  const ahead = drained || odd ? null : forecastLitres(water, today());
  const drawn = ahead ? drawnAhead(card, ahead) : drawnRead(view);
  const lifted = card.lists.winterization.steps.some(
    (step) => step.code === "lift-plants" && step.state === "done",
  );
  return (
    <figure class="cut">
      <PlanterCut
        level={drawn.level}
        confirmed={drawn.confirmed}
        gap={drained ? null : drawn.gap}
        left={drawn.left}
        seen={drawn.seen}
        unknown={
          drained
            ? [t("app.planter.drained"), t("app.planter.drained_do")]
            : [t("app.planter.level_unknown"), t("app.planter.level_unknown_do")]
        }
        bare={lifted}
        plants={lifted ? null : (card.state.plants?.score ?? null)}
        plug={plug}
        label={drawn.label ?? t(drained ? "app.planter.cut_drained" : "app.planter.cut_unknown")}
      />
    </figure>
  );
}

function Today({ card }: { card: PlanterCard }) {
  const said = new Set(openFlags(card).map((flag) => flag.advice));
  const lines = card.today.filter((line) => !said.has(line.text));
  if (!lines.length) return null;
  return (
    <section>
      <h2>{t("app.planter.today")}</h2>
      <ul class="today">
        {lines.map((line) => (
          <li key={line.code}>
            <Icon name="todo" />
            <span>{inUnits(line.text)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** A tag can be moved by a prankster: picture and name let the volunteer see it at once. */
function Match({ card }: { card: PlanterCard }) {
  return (
    <section class={card.picture ? "match" : "row"}>
      {card.picture && (
        <PhotoThumb sha={card.picture} alt={t("app.planter.picture", { name: card.name })} />
      )}
      <div class="stack stack--close">
        <p class="small">{t("app.planter.match", { name: card.name })}</p>
        <p>
          <a class="btn" href="/scan">
            <Icon name="tag" /> {t("app.planter.wrong_scan")}
          </a>
        </p>
      </div>
    </section>
  );
}

/** What matters now: the first flag, the planter cut open, the other flags, what to do today. */
export function PlanterNow({ view }: { view: PlanterView }) {
  const { card } = view;
  const first = openFlags(card)[0];
  return (
    <div class="record__now stack">
      <div class="record__lead pot stack">
        {first ? <Flagged flag={first} level={2} /> : <p>{t("app.planter.no_flags")}</p>}
        <Cut view={view} />
        <Establishing view={view} />
        <WaterSaid view={view} />
        {first && <Ground flag={first} card={card} />}
      </div>
      <OtherFlags card={card} />
      <Today card={card} />
      {card.weight_moist_kg !== null && (
        <Caution icon="weight">
          <b>{t("app.planter.weighs", { weight: weight(card.weight_moist_kg) })}</b>{" "}
          {t("app.planter.two_people")}
        </Caution>
      )}
      {card.status === "in-use" && (
        <p>
          <a class="btn" href={`/p/${card.id}/planting`}>
            {t("app.planted.title")}
          </a>
        </p>
      )}
      <Match card={card} />
    </div>
  );
}
