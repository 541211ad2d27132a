import { useState } from "preact/hooks";
import { saveRound } from "../actions/save";
import { Caution } from "../components/caution";
import { EmptyState } from "../components/empty-state";
import { Fold } from "../components/fold";
import { Icon } from "../components/icons";
import { Kerb } from "../components/kerb";
import { Potlet } from "../components/potlet";
import { Rim } from "../components/rim";
import { Stake } from "../components/stake";
import type { CardStop, RoundCard } from "../domain/planter";
import { tankLeft } from "../domain/rounds";
import { clock, dayWords, inUnits, number, t, tn, volume, word } from "../i18n";
import { AddStop, HandStop, HoursByHand, SkipStop } from "./round-acts";
import { useSignal } from "./use-frame";
import { type RoundsOnScreen, useRounds } from "./use-rounds";

/** Litres as planned; where nobody planned it, what the planter's own card expects. */
function toBring(stop: CardStop, rounds: RoundsOnScreen): number | null {
  if (stop.litres_l !== null) return stop.litres_l;
  const card = rounds.planters.find((one) => one.id === stop.planter);
  return card?.water?.top_up?.[0]?.litres_l ?? null;
}

function tapName(id: string | null, rounds: RoundsOnScreen): string | null {
  return rounds.town?.taps?.find((tap) => tap.id === id)?.name ?? null;
}

function wayWords(stop: CardStop): string {
  if (stop.way_m === null) return "";
  const metres = number(Math.round(stop.way_m / 10) * 10);
  return t(stop.new_leg ? "app.round.way_driven" : "app.round.way", { metres });
}

function Next({ stop, rounds }: { stop: CardStop; rounds: RoundsOnScreen }) {
  const litres = toBring(stop, rounds);
  const refill = tapName(stop.refill_at, rounds);
  return (
    <section class="pot" aria-label={t("app.round.next")}>
      <div class="next">
        <div>
          <p class="small soft">
            {[t("app.round.next"), wayWords(stop)].filter(Boolean).join(", ")}
          </p>
          <h2 class="name">{stop.name}</h2>
          {stop.site.name && !stop.name.startsWith(stop.site.name) && <p>{stop.site.name}</p>}
        </div>
        {litres !== null && (
          <div class="bring">
            <p class="small soft">{t("app.round.bring")}</p>
            <p class="large num">
              {litres < 0.5 ? t("app.round.no_water") : volume(Math.round(litres))}
            </p>
          </div>
        )}
        {stop.low_l !== null && stop.high_l !== null && stop.high_l > 0 && (
          <p class="wide small">
            {t("app.round.range", {
              low: volume(Math.round(stop.low_l)),
              high: volume(Math.round(stop.high_l)),
            })}
          </p>
        )}
        <p class="wide row row--wrap">
          <Stake urgency={stop.must ? "today" : "watch"} small />
          <b>{t(stop.must ? "app.round.must" : "app.round.may")}</b>
        </p>
        {stop.why.map((why) => (
          <p key={why} class="wide small">
            {inUnits(why)}
          </p>
        ))}
        {refill && (
          <p class="wide small row">
            <Icon name="tap" /> {t("app.round.refill", { tap: refill })}
          </p>
        )}
        {stop.loads > 1 && <p class="wide small">{tn("app.round.loads", stop.loads)}</p>}
        {stop.handed_by && (
          <p class="wide small">{t("app.round.handed_by", { name: stop.handed_by })}</p>
        )}
      </div>
    </section>
  );
}

function stateWords(stop: CardStop): string {
  if (stop.state === "done")
    return t("app.round.done_by", { name: stop.by ?? "", time: stop.at ? clock(stop.at) : "" });
  if (stop.state === "skipped")
    return t("app.round.skipped", {
      name: stop.by ?? "",
      why: stop.reason ? word("skip", stop.reason).toLowerCase() : "",
    });
  return [
    stop.handed_by ? t("app.round.handed_by", { name: stop.handed_by }) : "",
    stop.added && !stop.handed_by ? t("app.round.added") : "",
    stop.why[0] ? inUnits(stop.why[0]) : "",
  ]
    .filter(Boolean)
    .join(" ");
}

function StopLine({ stop, rounds }: { stop: CardStop; rounds: RoundsOnScreen }) {
  const litres = stop.state === "to-do" ? toBring(stop, rounds) : null;
  const card = rounds.planters.find((one) => one.id === stop.planter);
  return (
    <li class={stop.state === "to-do" ? undefined : "done"} data-state={stop.state}>
      {stop.state === "to-do" ? (
        <Potlet level={card?.state.level?.value ?? null} />
      ) : (
        <Icon name={stop.state === "done" ? "check" : "no"} />
      )}
      <a href={`/p/${stop.planter}`}>
        <b>{stop.name}</b>
        <span class="small soft">{stateWords(stop)}</span>
      </a>
      {litres !== null && litres >= 0.5 && <b class="num">{volume(Math.round(litres))}</b>}
    </li>
  );
}

function Stops(props: { stops: CardStop[]; rounds: RoundsOnScreen }) {
  return (
    <ol class="hose">
      {props.stops.map((stop) => (
        <StopLine key={stop.planter} stop={stop} rounds={props.rounds} />
      ))}
    </ol>
  );
}

function Others({ rounds }: { rounds: RoundsOnScreen }) {
  if (!rounds.others.length) return null;
  return (
    <section class="stack">
      <h2>{t("app.round.others")}</h2>
      {rounds.others.map((round) => {
        const open = round.stops.filter((stop) => stop.state === "to-do").length;
        return (
          <Fold
            key={round.id}
            summary={`${round.person.name}: ${tn("app.round.open_of", open, { all: round.stops.length })}`}
          >
            <Stops stops={round.stops} rounds={rounds} />
          </Fold>
        );
      })}
    </section>
  );
}

function Tank({ round, rounds }: { round: RoundCard; rounds: RoundsOnScreen }) {
  const left = tankLeft(round, rounds.poured);
  const open = round.stops.filter((stop) => stop.state === "to-do").length;
  const count = t("app.round.stop_of", {
    n: Math.min(round.stops.length, round.stops.length - open + 1),
    all: round.stops.length,
  });
  if (left === null || !round.tank_l) return <span class="tank">{open ? count : ""}</span>;
  const values = { left: volume(Math.round(left)), tank: volume(round.tank_l) };
  return (
    <span class="tank" style={{ "--full": `${Math.round((100 * left) / round.tank_l)}%` }}>
      <span class="row">
        <span>{open ? count : ""}</span>
        <span class="push">{t("app.round.tank", values)}</span>
      </span>
      <span class="tank__bar" />
    </span>
  );
}

function Nothing({ rounds }: { rounds: RoundsOnScreen }) {
  return (
    <EmptyState title={t("app.round.none")}>
      <p>
        {rounds.next
          ? t("app.round.none_next", { day: dayWords(rounds.next.day) })
          : t("app.round.none_why")}
      </p>
    </EmptyState>
  );
}

type Asking = "skip" | "hand" | null;

function Acts(props: {
  round: RoundCard;
  stop: CardStop | undefined;
  onAsk: (asking: Asking) => void;
}) {
  const { round, stop, onAsk } = props;
  const [lost, setLost] = useState(false);
  // The server calls a round under way as soon as a stop is done; hours run from the own start.
  const begun = round.hours?.under_way === true;
  const mark = (what: "started" | "ended") =>
    void saveRound({ round: round.id, what }).then(
      () => setLost(false),
      () => setLost(true),
    );
  return (
    <Kerb>
      {lost && <p role="alert">{t("app.check_in.not_kept")}</p>}
      {!begun ? (
        <button type="button" class="act" onClick={() => mark("started")}>
          {t(round.hours?.ended_at ? "app.round.begin_again" : "app.round.begin")}
        </button>
      ) : stop ? (
        <a class="act" href={`/p/${stop.planter}/check-in?round=${round.id}`}>
          {t("app.round.check_in", { name: stop.name })}
        </a>
      ) : (
        <button type="button" class="act" onClick={() => mark("ended")}>
          {t("app.round.end")}
        </button>
      )}
      <div class="kerb__pair">
        {stop && (
          <button type="button" class="btn" onClick={() => onAsk("skip")}>
            {t("app.round.skip")}
          </button>
        )}
        {stop && (
          <button type="button" class="btn" onClick={() => onAsk("hand")}>
            {t("app.round.hand")}
          </button>
        )}
        {stop && begun && (
          <button type="button" class="btn" onClick={() => mark("ended")}>
            {t("app.round.end")}
          </button>
        )}
      </div>
    </Kerb>
  );
}

/** My round of today: the next stop large, the rest on the hose; all from this phone's store. */
export function RoundScreen() {
  const rounds = useRounds();
  const signal = useSignal();
  const [asking, setAsking] = useState<Asking>(null);
  if (!rounds) return <div class="field" aria-busy="true" />;
  const round = rounds.mine;
  const stop = round.stops.find((one) => one.state === "to-do");
  const rest = round.stops.filter((one) => one !== stop && one.state === "to-do");
  const over = round.stops.filter((one) => one.state !== "to-do");
  const part = stop && { round, stop, onDone: () => setAsking(null) };
  return (
    <div class="field">
      <Rim
        title={t("app.round.title")}
        back="/planters"
        above={dayWords(round.day)}
        note={<Tank round={round} rounds={rounds} />}
      >
        {signal}
      </Rim>
      <main>
        {stop && <Next key={stop.planter} stop={stop} rounds={rounds} />}
        {part && asking === "skip" && <SkipStop {...part} />}
        {part && asking === "hand" && <HandStop {...part} rounds={rounds} />}
        {!round.stops.length && <Nothing rounds={rounds} />}
        {round.stops.length > 0 && !stop && <p>{t("app.round.all_done")}</p>}
        {stop && round.cautions.map((text) => <Caution key={text}>{inUnits(text)}</Caution>)}
        {rest.length > 0 && (
          <section>
            <div class="row row--wrap">
              <h2>{t("app.round.then")}</h2>
              <a class="btn push" href="/siteplan">
                {t("app.siteplan.title")}
              </a>
            </div>
            <Stops stops={rest} rounds={rounds} />
          </section>
        )}
        {over.length > 0 && (
          <section>
            <h2>{t("app.round.over")}</h2>
            <Stops stops={over} rounds={rounds} />
          </section>
        )}
        {round.handed_on.map((one) => (
          <p key={one.planter} class="small">
            {t("app.round.handed_on", { name: one.name, to: one.to.name })}
          </p>
        ))}
        <AddStop rounds={rounds} />
        <Others rounds={rounds} />
        <HoursByHand round={round} />
        {rounds.waiting > 0 && <p class="small soft">{t("app.round.unsent")}</p>}
      </main>
      <Acts round={round} stop={stop} onAsk={setAsking} />
    </div>
  );
}
