import { Caution } from "../components/caution";
import { LitresField } from "../components/litres-field";
import { NumberLine } from "../components/number-line";
import { dosesShown, doseWords } from "../components/wording-care";
import type { LastFed } from "../domain/feeding";
import type { StandingFeed } from "../domain/planter";
import { litresTyped, number, t, volumeUnit } from "../i18n";
import type { CheckInForm } from "./check-in-form";

interface FeedProps {
  form: CheckInForm;
  onForm: (form: CheckInForm) => void;
  feed: StandingFeed | null;
  fed: LastFed | null;
}

/** The form with the town's own feed written in, where nothing was said yet. */
export function withFeed(form: CheckInForm, feed: StandingFeed | null): CheckInForm {
  return {
    ...form,
    feed_what: form.feed_what || (feed?.what ?? ""),
    feed_ppm_n: form.feed_ppm_n ?? feed?.ppm_n ?? null,
    feed_l: form.feed_l ?? feed?.can_l ?? null,
  };
}

/** Product for a can, as last synced: it works without signal. */
function Doses({ feed }: { feed: StandingFeed }) {
  const shown = dosesShown(feed.doses, feed.can_l);
  if (!shown.length) return null;
  return (
    <div>
      <p>
        <b>{t("app.feed.town", { rate: number(feed.ppm_n ?? 0) })}</b>
      </p>
      <ul>
        {shown.map((dose) => (
          <li key={dose.can_l}>{doseWords(dose)}</li>
        ))}
      </ul>
    </div>
  );
}

function Strength({ form, onForm, feed }: Omit<FeedProps, "fed">) {
  if (feed?.ppm_n != null || form.feed_ppm_n !== null) {
    return (
      <NumberLine
        label={t("app.feed.strength_ppm")}
        value={form.feed_ppm_n}
        most={1000}
        // Less than 1 ppm is no feed, and no rate the server takes.
        onChange={(rate) =>
          onForm({ ...form, feed_ppm_n: rate !== null && rate < 1 ? null : rate })
        }
      />
    );
  }
  return (
    <div class="line">
      <label for="feed-strength">{t("app.check_in.feed_strength")}</label>
      <input
        id="feed-strength"
        type="text"
        maxLength={80}
        value={form.feed_strength}
        onInput={(event) => onForm({ ...form, feed_strength: event.currentTarget.value })}
      />
    </div>
  );
}

/** What was fed, how strong and in how much water, with the town's doses above it. */
export function FeedGiven({ form, onForm, feed, fed }: FeedProps) {
  const gallons = volumeUnit() === "gal";
  return (
    <div class="slab stack">
      {fed?.early && <Caution>{t("app.feed.early")}</Caution>}
      {feed && <Doses feed={feed} />}
      <div class="line">
        <label for="feed-what">{t("app.check_in.feed_what")}</label>
        <input
          id="feed-what"
          type="text"
          maxLength={80}
          value={form.feed_what}
          onInput={(event) => onForm({ ...form, feed_what: event.currentTarget.value })}
        />
      </div>
      <Strength form={form} onForm={onForm} feed={feed} />
      <LitresField
        label={t("app.feed.litres")}
        hint={t("app.feed.litres_hint")}
        unit={{
          word: volumeUnit(),
          perLitre: gallons ? litresTyped(1000) / 1000 : 1,
          step: gallons ? 0.5 : 1,
        }}
        value={form.feed_l}
        onChange={(feed_l) => onForm({ ...form, feed_l })}
      />
      <Caution bare>{t("app.check_in.feed_caution")}</Caution>
    </div>
  );
}
