import { EmptyState } from "../components/empty-state";
import { PhotoField } from "../components/photo-field";
import { PlantPicker } from "../components/plant-picker";
import { Rim } from "../components/rim";
import { type Expected, readToday, toPour } from "../components/wording";
import { feedHold, feedOf, type LastFed, lastFed } from "../domain/feeding";
import type { PlanterCard, Town } from "../domain/planter";
import { atOdds, expectedLitres, freshWater } from "../domain/water";
import { clock, dayOf, phoneMoment, t, today } from "../i18n";
import { type CaseOnScreen, useCase } from "./check-in-draft";
import type { CheckInForm } from "./check-in-form";
import { Note, PlugSeen, SignsSeen, WorkDone } from "./check-in-rest";
import { SaltReading } from "./check-in-salt";
import { SaveKerb } from "./check-in-save";
import { WaterFound, WaterGiven } from "./check-in-water";
import { usePhotoShelf } from "./photo-shelf";
import { PhotoThumb } from "./photo-thumb";
import { isNew } from "./planter-care";
import { useSignal } from "./use-frame";
import { usePlanter } from "./use-planter";
import { useRoundUnderWay } from "./use-rounds";

export interface CheckInScreenProps {
  id: string;
  /** The record whose check-in is put right. */
  correct?: string | undefined;
  /** A refused record to start from. */
  fixes?: string | undefined;
  /** The round it is made on, when it was opened from there. */
  round?: string | undefined;
}

/** What is expected before the hose is opened, and the way out of a mixed-up tag. */
function Expect({ card, expected }: { card: PlanterCard; expected: Expected | null }) {
  return (
    <section class="expect" aria-label={t("app.check_in.expected")}>
      {card.picture && (
        <span class="expect__picture">
          <PhotoThumb sha={card.picture} alt={t("app.planter.picture", { name: card.name })} />
        </span>
      )}
      <p aria-live="polite">
        {expected ? (
          <>
            <b>
              {expected.litres_l > 0
                ? t("app.check_in.about", { litres: expected.litres })
                : t("app.water.likely_full")}
            </b>{" "}
            {t("app.check_in.about_range", { range: expected.short })}{" "}
          </>
        ) : (
          `${t("app.check_in.read_first")} `
        )}
        {t("app.check_in.stop_when")}
      </p>
      <a class="btn push" href="/scan">
        {t("app.planter.wrong")}
      </a>
    </section>
  );
}

interface OpenProps {
  card: PlanterCard;
  town: Town | undefined;
  draft: CaseOnScreen;
  form: CheckInForm;
  expected: Expected | null;
  fed: LastFed | null;
  rooting: boolean;
}

function Pictures({ draft, form }: Pick<OpenProps, "draft" | "form">) {
  const photos = draft.case?.photos ?? [];
  const shelf = usePhotoShelf(photos);
  return (
    <section class="stack" aria-label={t("app.check_in.photos")}>
      {form.old_photos.map((sha) => (
        <div key={sha} class="photos__one">
          <PhotoThumb sha={sha} alt={t("app.photo.taken")} />
          <button
            type="button"
            class="btn"
            onClick={() =>
              draft.change({ ...form, old_photos: form.old_photos.filter((one) => one !== sha) })
            }
          >
            {t("app.photo.remove")}
          </button>
        </div>
      ))}
      <PhotoField
        photos={shelf.taken}
        busy={shelf.busy}
        trouble={shelf.trouble}
        onAdd={(file) => void shelf.add(file).then((photo) => photo && draft.addPhoto(photo))}
        onRemove={draft.removePhoto}
      />
    </section>
  );
}

function Fields({ card, town, draft, form, expected, fed, rooting }: OpenProps) {
  const part = { form, expected, onForm: (next: CheckInForm) => draft.change(next) };
  return (
    <main>
      {draft.case?.leftAt && (
        <p class="row small">
          <span>{t("app.check_in.draft", { time: clock(phoneMoment(draft.case.leftAt)) })}</span>
          <button type="button" class="btn push" onClick={draft.startOver}>
            {t("app.check_in.start_over")}
          </button>
        </p>
      )}
      {draft.unkept && <p role="alert">{t("app.check_in.draft_unkept")}</p>}
      <WaterFound card={card} town={town} {...part} />
      <PlantPicker value={form.plants} onPick={(plants) => draft.change({ ...form, plants })} />
      <WaterGiven card={card} town={town} rooting={rooting} {...part} />
      <SignsSeen {...part} />
      <WorkDone fed={fed} feed={feedOf(town)} hold={feedHold(card)} {...part} />
      <PlugSeen {...part} />
      <Pictures draft={draft} form={form} />
      <Note {...part} />
      <SaltReading {...part} />
    </main>
  );
}

/** The check-in: four taps for the common case, everything else in reach and nothing demanded. */
export function CheckInScreen(source: CheckInScreenProps) {
  const planter = usePlanter(source.id);
  const underWay = useRoundUnderWay();
  const signal = useSignal();
  const card = planter?.view.card;
  const draft = useCase({ planter: source.id, correct: source.correct, fixes: source.fixes }, card);
  const back = `/p/${source.id}`;
  if (planter === null || draft.case === null) {
    return (
      <div class="field">
        <Rim title={t("app.check_in.title")} back={planter ? back : "/planters"} />
        <main>
          <EmptyState title={t("app.check_in.not_here")}>
            <p>{t("app.check_in.not_here_why")}</p>
          </EmptyState>
        </main>
      </div>
    );
  }
  if (!card || !draft.case) return <div class="field" aria-busy="true" />;
  const { form, replaces } = draft.case;
  // A visit of another day is not measured by what is forecast for this one.
  const water = replaces ? null : freshWater(card, planter.view.waiting);
  const read = readToday(card);
  // What was read earlier today stands in until the level is read anew.
  const level = form.level ?? (atOdds(card, water, today(), read) ? read : form.level);
  const litres = expectedLitres(card, water, today(), level);
  const expected = toPour(litres);
  // A visit that is put right may itself be the last feed.
  const fed = replaces ? null : lastFed(card, feedOf(planter.town), today(), dayOf);
  const open = {
    card,
    town: planter.town,
    draft,
    form,
    expected,
    fed,
    rooting: isNew(planter.view),
  };
  return (
    <div class="field">
      <Rim title={card.name} back={back}>
        {signal}
      </Rim>
      <Expect card={card} expected={expected} />
      <Fields {...open} />
      <SaveKerb
        card={card}
        draft={draft}
        fed={fed}
        expected={litres}
        source={{
          planter: source.id,
          correct: source.correct,
          fixes: source.fixes,
          round: source.round ?? underWay,
        }}
      />
    </div>
  );
}
