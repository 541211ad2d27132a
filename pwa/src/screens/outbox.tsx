/** What waits on this phone, why, and what a person can do about it. Nothing leaves here by itself. */

import { saveOutboxFile } from "../actions/save-file";
import { Icon } from "../components/icons";
import { Kerb } from "../components/kerb";
import { Rim } from "../components/rim";
import { StateShape } from "../components/state-mark";
import type { KeptPhoto, OutboxEntry } from "../domain/outbox";
import { phoneMoment, t, tn, when, word } from "../i18n";
import { worded } from "../i18n/problems";
import { ring } from "../store/bell";
import { listOutbox } from "../store/outbox";
import { listPhotos } from "../store/photos";
import { listPlanters } from "../store/planters";
import { readSettings, type Settings } from "../store/settings";
import { RefusedRecord } from "./outbox-refused";
import { useSignal } from "./use-frame";
import { useStored } from "./use-stored";

/** Confirmed records shown below the waiting ones. */
const SENT_SHOWN = 20;

async function read() {
  const [entries, photos, planters, settings] = await Promise.all([
    listOutbox(),
    listPhotos(),
    listPlanters(),
    readSettings(),
  ]);
  const person = settings.me?.person.id ?? null;
  const unsent = entries.filter((entry) => entry.state !== "sent" && !entry.fixed_by);
  return {
    mine: entries.filter((entry) => entry.person === person),
    others: unsent.filter((entry) => entry.person !== person).length,
    photos: photos.filter((photo) => photo.state !== "sent" && photo.person === person),
    names: new Map(planters.map((card) => [card.id, card.name])),
    of: new Map(entries.map((entry) => [entry.id, entry])),
    settings,
  };
}

function savedAt(entry: OutboxEntry): string {
  return when(phoneMoment(entry.saved_at).toISOString());
}

function Waiting({ entry, name }: { entry: OutboxEntry; name: string }) {
  const state = entry.state === "sending" ? "sending" : "kept";
  return (
    <li>
      <StateShape state={state} />
      <span>
        <b>{name}</b>
        <br />
        <span class="small soft">
          {word("kind", entry.kind)}, {savedAt(entry)}, {t(`app.outbox.${state}`)}
        </span>
      </span>
    </li>
  );
}

function WaitingPhoto({ photo, name }: { photo: KeptPhoto; name: string }) {
  const refused = photo.state === "needs-attention";
  return (
    <li>
      <StateShape state={refused ? "need" : "kept"} icon={refused ? undefined : "camera"} />
      <span>
        <b>{t("app.outbox.photo_of", { planter: name })}</b>
        <br />
        <span class="small soft">
          {refused && photo.problem
            ? `${worded(photo.problem).title}. ${t("app.outbox.photo_refused")}`
            : t("app.outbox.photo_after")}
        </span>
      </span>
    </li>
  );
}

function Sent({ entry, name }: { entry: OutboxEntry; name: string }) {
  const how = entry.outcome === "held" ? "app.outbox.held" : "app.outbox.sent";
  const time = entry.confirmed_at ? when(entry.confirmed_at) : "";
  return (
    <li>
      <StateShape state="sent" />
      <span>
        <b>{name}</b>
        <br />
        <span class="small soft">
          {word("kind", entry.kind)}, {t(how, { time })}
        </span>
      </span>
    </li>
  );
}

/** Why nothing is being sent, and what to do: on top, above everything that waits. */
function Why({ settings, unsent }: { settings: Settings; unsent: number }) {
  if (!settings.paused) return null;
  return (
    <div class="caution" role="status">
      <Icon name="warn" />
      <p>{tn(`app.outbox.why_${settings.paused.replace("-", "_")}`, unsent)}</p>
    </div>
  );
}

function ByHand(props: { waits: boolean; unsent: boolean; signedOut: boolean }) {
  const { waits, unsent, signedOut } = props;
  return (
    <Kerb>
      {signedOut ? (
        <a class="act" href="/join">
          {t("app.outbox.join")}
        </a>
      ) : (
        <button type="button" class="act" aria-disabled={!waits} onClick={() => ring("asked")}>
          {t("app.outbox.send_now")}
        </button>
      )}
      {unsent && (
        <button type="button" class="btn btn--wide" onClick={() => void saveOutboxFile()}>
          {t("app.outbox.save_file")}
        </button>
      )}
    </Kerb>
  );
}

/** Names for lists: a planter may be gone from this phone. */
type NameOf = (planter: string | undefined) => string;

function WaitingList(props: {
  entries: OutboxEntry[];
  photos: KeptPhoto[];
  name: NameOf;
  of: Map<string, OutboxEntry>;
}) {
  const { entries, photos, name, of } = props;
  const count = entries.length + photos.length;
  return (
    <section class="stack">
      <div class="row">
        <h2>{t("app.outbox.waiting")}</h2>
        <b class="num large push">{count}</b>
      </div>
      {count > 0 ? (
        <ul class="out">
          {entries.map((entry) => (
            <Waiting key={entry.id} entry={entry} name={name(entry.planter)} />
          ))}
          {photos.map((photo) => (
            <WaitingPhoto
              key={photo.sha}
              photo={photo}
              name={name(of.get(photo.record)?.planter)}
            />
          ))}
        </ul>
      ) : (
        <p>{t("app.outbox.nothing")}</p>
      )}
      <p class="small soft">{t("app.outbox.by_itself")}</p>
    </section>
  );
}

function SentList({ entries, name }: { entries: OutboxEntry[]; name: NameOf }) {
  if (!entries.length) return null;
  return (
    <section class="stack">
      <h2>{t("app.outbox.sent_head")}</h2>
      <ul class="out">
        {entries
          .slice(-SENT_SHOWN)
          .reverse()
          .map((entry) => (
            <Sent key={entry.id} entry={entry} name={name(entry.planter)} />
          ))}
      </ul>
    </section>
  );
}

/** The outbox. */
export function OutboxScreen() {
  const signal = useSignal();
  const found = useStored(["outbox", "photos", "planters", "settings"], read);
  if (!found) return null;
  const { mine, others, photos, names, of, settings } = found;
  const name: NameOf = (planter) => names.get(planter ?? "") ?? t("app.outbox.unknown_planter");
  const unsent = mine.filter((entry) => entry.state !== "sent" && !entry.fixed_by);
  const refused = unsent.filter((entry) => entry.state === "needs-attention");
  const waiting = unsent.filter((entry) => entry.state !== "needs-attention");
  return (
    <div class="field">
      <Rim title={t("app.outbox.title")} back="/">
        {signal}
      </Rim>
      <main>
        <Why settings={settings} unsent={unsent.length} />
        {refused.map((entry) => (
          <RefusedRecord
            key={entry.id}
            entry={entry}
            planter={name(entry.planter)}
            when={savedAt(entry)}
          />
        ))}
        <WaitingList entries={waiting} photos={photos} name={name} of={of} />
        {others > 0 && <p class="slab">{tn("app.outbox.others", others)}</p>}
        <SentList entries={mine.filter((entry) => entry.state === "sent")} name={name} />
      </main>
      <ByHand
        waits={waiting.length + photos.length > 0}
        unsent={unsent.length + photos.length + others > 0}
        signedOut={settings.paused === "join-again"}
      />
    </div>
  );
}
