import { useState } from "preact/hooks";
import { EmptyState } from "../components/empty-state";
import { Icon } from "../components/icons";
import { Kerb } from "../components/kerb";
import { PlanterCut } from "../components/planter-cut";
import { Rim } from "../components/rim";
import { type RecordState, StateShape } from "../components/state-mark";
import { toPour, visitWords } from "../components/wording";
import type { OutboxEntry, OutboxState } from "../domain/outbox";
import { overlay, unknownTo } from "../domain/pending";
import type { PlanterCard } from "../domain/planter";
import type { CheckInBody, CorrectionBody, StepBody } from "../domain/records";
import { expectedLitres, freshWater, type Litres } from "../domain/water";
import { clock, dayOf, now, phoneMoment, t, tn, volume } from "../i18n";
import { listOutbox, readEntry } from "../store/outbox";
import { readPhoto } from "../store/photos";
import { listPlanters } from "../store/planters";
import { readSettings } from "../store/settings";
import { nextAtSite } from "./planters-order";
import { useSignal } from "./use-frame";
import { readRounds } from "./use-rounds";
import { useStored } from "./use-stored";

const STATE: Record<OutboxState, RecordState> = {
  queued: "kept",
  sending: "sending",
  sent: "sent",
  "needs-attention": "need",
};
const JUST_SENT_MS = 12 * 3_600_000;
const ROWS = 6;

/** The record read back from the phone: only what is really there is called saved. */
async function readSaved(record: string) {
  const [entry, outbox, cards, settings] = await Promise.all([
    readEntry(record),
    listOutbox(),
    listPlanters(),
    readSettings(),
  ]);
  if (!entry) return null;
  const photos = await Promise.all(entry.photos.map((sha) => readPhoto(sha)));
  const card = cards.find((one) => one.id === entry.planter);
  const names = new Map(cards.map((one) => [one.id, one.name]));
  const own = outbox.filter((one) => one.planter === entry.planter);
  return {
    entry,
    names,
    outbox: outbox.filter((one) => one.person === entry.person),
    card: card && overlay(card, own, settings.clock_offset_ms).card,
    expected: card && checkInOf(entry) ? expectedOf(card, entry, own) : null,
    lost: photos.filter((photo) => !photo).length,
    next: card && nextAtSite(cards, card, visitedToday(outbox)),
    round: await roundOf(entry),
  };
}

type Saved = NonNullable<Awaited<ReturnType<typeof readSaved>>>;

/** The own round of today that this was a stop of, and the stop that is next on it. */
async function roundOf(entry: OutboxEntry): Promise<{ next: string | null } | null> {
  const { round } = entry.body as { round?: string };
  const rounds = round ? await readRounds() : null;
  if (!rounds || rounds.mine.id !== round) return null;
  return { next: rounds.mine.stops.find((stop) => stop.state === "to-do")?.name ?? null };
}

function visitedToday(outbox: readonly OutboxEntry[]): Set<string> {
  const since = Date.now() - JUST_SENT_MS;
  return new Set(outbox.filter((one) => one.saved_at > since).map((one) => one.planter));
}

function checkInOf(entry: OutboxEntry): CheckInBody | null {
  if (entry.kind === "check-in") return entry.body as CheckInBody;
  if (entry.kind === "correction") return (entry.body as CorrectionBody).check_in;
  return null;
}

/**
 * What was expected when this was recorded. Once the server has taken it in, its forecast is the
 * one after the filling, and only the reading can still be compared with.
 */
function expectedOf(
  card: PlanterCard,
  entry: OutboxEntry,
  own: readonly OutboxEntry[],
): Litres | null {
  const before = own.filter((one) => one.saved_at < entry.saved_at && unknownTo(card, one));
  const known = entry.kind === "check-in" && unknownTo(card, entry);
  const water = known ? freshWater(card, before) : null;
  const day = dayOf(phoneMoment(entry.saved_at));
  return expectedLitres(card, water, day, checkInOf(entry)?.level);
}

/** What was given against what was expected, in words and without praise or blame. */
function comparison(mark: Litres | null, body: CheckInBody): string {
  const given = body.litres_l;
  const range = toPour(mark)?.range;
  const said: string[] = [];
  if (given != null && mark && range) {
    const values = { litres: volume(given), range };
    said.push(t("app.saved.given_expected", values));
    if (given > mark.high_l * 1.25) said.push(t("app.saved.more_than"));
    if (given < mark.low_l * 0.75 && body.overflow === "ran-while-filling") {
      said.push(t("app.saved.less_than"));
    }
  } else if (given != null) said.push(t("app.saved.given", { litres: volume(given) }));
  if (body.overflow === "ran-while-filling") said.push(t("app.saved.full_now"));
  return said.join(" ");
}

function kindWords({ entry, card }: Saved): string {
  const visit = card?.visits.find((one) => one.record === entry.id);
  switch (entry.kind) {
    case "check-in":
      return visit ? visitWords(visit) : "";
    case "correction":
      return t("app.saved.corrected");
    case "withdrawal":
      return t("app.saved.taken_back");
    case "step": {
      const { list, step } = entry.body as StepBody;
      const lists = card?.lists[list === "start-up" ? "start_up" : "winterization"];
      return lists?.steps.find((one) => one.code === step)?.title ?? "";
    }
    case "decision":
      return t("app.saved.decided");
    case "planting":
      return visit ? visitWords(visit) : "";
    case "round":
      return t("app.saved.round");
    case "stop":
      return t("app.saved.stop");
  }
}

function Kept({ saved }: { saved: Saved }) {
  const { entry, card, lost } = saved;
  // As it stood at first sight: when the card comes back assessed, the words do not change.
  const [expected] = useState(saved.expected);
  const body = checkInOf(entry);
  const at = clock(phoneMoment(entry.saved_at));
  const photos = entry.photos.length - lost;
  return (
    <section class="pot" role="status">
      <div class="saved">
        <PlanterCut
          bare
          level={card?.state.level?.value ?? null}
          confirmed={entry.state === "sent"}
          plug={card?.state.plug.state ?? "unknown"}
          overflowRuns={body?.overflow === "ran-while-filling"}
        />
        <div>
          <h1>{entry.state === "sent" ? t("app.saved.sent") : t("app.saved.kept")}</h1>
          <p class="small">
            {[at, kindWords(saved), photos ? tn("app.saved.photos", photos) : ""]
              .filter(Boolean)
              .join(", ")}
          </p>
        </div>
      </div>
      {lost > 0 && <p role="alert">{tn("app.saved.photos_lost", lost)}</p>}
      <p>
        {body && comparison(expected, body)}
        {entry.kind === "planting" && t("app.saved.planted")}{" "}
        <b>{t("app.saved.thanks", { name: entry.by })}</b>
      </p>
    </section>
  );
}

function rowWords(entry: OutboxEntry): string {
  const at = clock(phoneMoment(entry.saved_at));
  switch (entry.state) {
    case "sent":
      return entry.confirmed_at
        ? t("app.saved.row_sent", { time: clock(entry.confirmed_at) })
        : t("app.saved.sent");
    case "needs-attention":
      return entry.problem?.title ?? t("app.saved.row_need");
    case "sending":
      return t("app.saved.row_sending", { time: at });
    default:
      return t("app.saved.row_kept", { time: at });
  }
}

function rowName(entry: OutboxEntry, saved: Saved): string {
  if (entry.kind === "round") return t("app.round.title");
  return saved.names.get(entry.planter) ?? t("app.saved.some_planter");
}

function Waiting({ saved }: { saved: Saved }) {
  const open = saved.outbox.filter((entry) => entry.state !== "sent" && !entry.fixed_by);
  const since = now().getTime() - JUST_SENT_MS;
  const sent = saved.outbox.filter(
    (entry) => entry.confirmed_at && Date.parse(entry.confirmed_at) > since,
  );
  const rows = [...open.reverse(), ...sent.reverse()].slice(0, ROWS);
  return (
    <section class="stack">
      <div class="row">
        <h2>{open.length ? t("app.saved.waiting") : t("app.saved.none_waiting")}</h2>
        {open.length > 0 && <b class="num large push">{open.length}</b>}
      </div>
      <ul class="out">
        {rows.map((entry) => (
          <li key={entry.id}>
            <StateShape state={STATE[entry.state]} />
            <span>
              <b>{rowName(entry, saved)}</b>
              <br />
              <span class="small soft">{rowWords(entry)}</span>
            </span>
          </li>
        ))}
      </ul>
      {open.length > 0 && <p class="small soft">{t("app.saved.sends_itself")}</p>}
      {saved.outbox.some((entry) => entry.state === "needs-attention" && !entry.fixed_by) && (
        <a class="btn" href="/outbox">
          <Icon name="warn" /> {t("app.saved.see_outbox")}
        </a>
      )}
    </section>
  );
}

/** The one way on: the round it was a stop of, else the next planter of the site, else a tag. */
function Onward({ saved: { round, next } }: { saved: Saved }) {
  if (round) {
    return (
      <a class="act" href="/round">
        {round.next ? t("app.saved.round_next", { name: round.next }) : t("app.saved.round_over")}
      </a>
    );
  }
  return next ? (
    <a class="act" href={`/p/${next.id}`}>
      {t("app.saved.next", { name: next.name })}
    </a>
  ) : (
    <a class="act" href="/scan">
      <Icon name="tag" /> {t("app.planters.scan")}
    </a>
  );
}

/** After Save: kept on this phone, compared, thanked for once; then what waits, and where to go next. */
export function SavedScreen({ record }: { record: string }) {
  const saved = useStored(
    ["outbox", "photos", "planters", "settings", "rounds"],
    () => readSaved(record),
    [record],
  );
  const signal = useSignal();
  if (saved === undefined) return <div class="field" aria-busy="true" />;
  if (!saved) {
    return (
      <div class="field">
        <Rim title={t("app.saved.gone")} back="/planters" />
        <main>
          <EmptyState title={t("app.saved.gone")}>
            <p>{t("app.saved.gone_why")}</p>
          </EmptyState>
        </main>
      </div>
    );
  }
  const { entry, card } = saved;
  return (
    <div class="field">
      <header class="rim">
        <div class="rim__bar">
          <a class="rim__back" href={`/p/${entry.planter}`} aria-label={t("app.rim.back")}>
            <Icon name="back" />
          </a>
          <p class="head">{card?.name ?? t("app.saved.some_planter")}</p>
          {signal}
        </div>
      </header>
      <main>
        <Kept key={record} saved={saved} />
        <Waiting saved={saved} />
      </main>
      <Kerb>
        <Onward saved={saved} />
        <a class="btn" href="/planters">
          {t("app.saved.all")}
        </a>
      </Kerb>
    </div>
  );
}
