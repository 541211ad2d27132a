import { useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { NobodyJoined, StoreFull, savePlanting } from "../actions/save";
import { Caution } from "../components/caution";
import { EmptyState } from "../components/empty-state";
import { Kerb } from "../components/kerb";
import { PhotoField } from "../components/photo-field";
import { CheckRow } from "../components/pick-row";
import { Rim } from "../components/rim";
import { plantsWords } from "../components/wording-care";
import type { PlanterCard } from "../domain/planter";
import { t } from "../i18n";
import { usePhotoShelf } from "./photo-shelf";
import { type PlantingOnScreen, plantingKey, usePlanting } from "./planted-draft";
import {
  MOST_COUNT,
  MOST_PLANTS,
  type PlantingForm,
  type PlantRow,
  plantingBody,
  withPlants,
} from "./planted-form";
import { useSignal } from "./use-frame";
import { usePlanter } from "./use-planter";
import { useSaving } from "./use-saving";

interface PartProps {
  form: PlantingForm;
  onForm: (form: PlantingForm) => void;
}

function Row(props: {
  row: PlantRow;
  n: number;
  onRow: (row: PlantRow) => void;
  onRemove: () => void;
}) {
  const { row, n, onRow } = props;
  return (
    <li class="plant-row">
      <label class="line">
        <span class="small soft">{t("app.planted.name", { n })}</span>
        <input
          type="text"
          maxLength={80}
          value={row.name}
          onInput={(event) => onRow({ ...row, name: event.currentTarget.value })}
        />
      </label>
      <label class="line">
        <span class="small soft">{t("app.planted.count")}</span>
        <input
          type="text"
          inputMode="numeric"
          maxLength={3}
          value={row.count ?? ""}
          onInput={(event) => {
            const typed = event.currentTarget.value.replace(/\D/g, "");
            event.currentTarget.value = typed;
            onRow({ ...row, count: Math.min(MOST_COUNT, Number(typed)) || null });
          }}
        />
      </label>
      <button
        type="button"
        class="btn"
        aria-label={t("app.planted.remove", { name: row.name || String(n) })}
        onClick={props.onRemove}
      >
        −
      </button>
    </li>
  );
}

/** Plants by name and, where somebody counted, by number. */
function Plants({ form, onForm }: PartProps) {
  const { plants } = form;
  const set = (at: number, row: PlantRow) =>
    onForm({ ...form, plants: plants.map((one, n) => (n === at ? row : one)) });
  return (
    <fieldset class="stack">
      <legend>{t("app.planted.plants")}</legend>
      {plants.length > 0 && (
        <ul class="stack">
          {plants.map((row, at) => (
            <Row
              key={at}
              row={row}
              n={at + 1}
              onRow={(next) => set(at, next)}
              onRemove={() => onForm({ ...form, plants: plants.filter((_, n) => n !== at) })}
            />
          ))}
        </ul>
      )}
      {plants.length < MOST_PLANTS && (
        <button
          type="button"
          class="btn"
          onClick={() => onForm({ ...form, plants: [...plants, { name: "", count: null }] })}
        >
          {t("app.planted.add")}
        </button>
      )}
    </fieldset>
  );
}

/** One tap takes over what the register plans, or what grew here before. */
function Known({ card, form, onForm }: PartProps & { card: PlanterCard }) {
  const known = card.planned ?? card.planting;
  if (!known?.plants.length || form.plants.length) return null;
  const words = [known.scheme, plantsWords(known)].filter(Boolean).join(": ");
  return (
    <button
      type="button"
      class="btn btn--main btn--wide"
      onClick={() => onForm(withPlants(form, known))}
    >
      {t("app.planted.same", { plants: words })}
    </button>
  );
}

function Fields({ card, draft }: { card: PlanterCard; draft: PlantingOnScreen }) {
  const photos = draft.case?.photos ?? [];
  const shelf = usePhotoShelf(photos);
  if (!draft.case) return null;
  const { form } = draft.case;
  const part = { form, onForm: draft.change };
  return (
    <main>
      <h2>{t("app.planted.title")}</h2>
      <Caution icon="tap">{t("app.planted.water_in")}</Caution>
      <Known card={card} {...part} />
      <div class="line">
        <label for="planting-scheme">{t("app.planted.scheme")}</label>
        <input
          id="planting-scheme"
          type="text"
          maxLength={80}
          value={form.scheme}
          onInput={(event) => draft.change({ ...form, scheme: event.currentTarget.value })}
        />
      </div>
      <Plants {...part} />
      <CheckRow
        legend={t("app.planted.mix")}
        cols={1}
        values={form.retopped ? ["retopped"] : []}
        onChange={(values) => draft.change({ ...form, retopped: values.length > 0 })}
        choices={[{ value: "retopped", word: t("app.planted.retopped") }]}
      />
      <PhotoField
        photos={shelf.taken}
        busy={shelf.busy}
        trouble={shelf.trouble}
        onAdd={(file) => void shelf.add(file).then((photo) => photo && draft.addPhoto(photo))}
        onRemove={draft.removePhoto}
      />
      <div class="line">
        <label for="planting-note">{t("app.check_in.note")}</label>
        <textarea
          id="planting-note"
          maxLength={2000}
          rows={2}
          value={form.note}
          onInput={(event) => draft.change({ ...form, note: event.currentTarget.value })}
        />
      </div>
    </main>
  );
}

function troubleWords(error: unknown): string {
  if (error instanceof StoreFull) return t("app.check_in.storage_full");
  if (error instanceof NobodyJoined) return t("app.check_in.nobody_joined");
  return t("app.check_in.not_kept");
}

/** Saving once; asks first where nothing was named. */
function SavePlanting({ planter, draft }: { planter: string; draft: PlantingOnScreen }) {
  const { route } = useLocation();
  const [asked, setAsked] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);
  const { busy, saving } = useSaving();
  const save = () =>
    void saving(async () => {
      const open = draft.newest();
      if (!open) return false;
      draft.close();
      try {
        const saved = await savePlanting(planter, plantingBody(open.form), open.photos, {
          draft: plantingKey(planter),
        });
        navigator.vibrate?.(40);
        route(`/saved/${saved.entry.id}`, true);
        return true;
      } catch (error) {
        draft.reopen();
        setTrouble(troubleWords(error));
        return false;
      }
    });
  const press = () => {
    const body = draft.case && plantingBody(draft.case.form);
    if (body?.plants || body?.scheme) save();
    else setAsked(true);
  };
  return (
    <Kerb>
      {trouble && <p role="alert">{trouble}</p>}
      {asked ? (
        <div class="ask" role="alertdialog" aria-label={t("app.check_in.ask")}>
          <p>
            <b>{t("app.planted.ask_unnamed")}</b>
          </p>
          <button type="button" class="act" aria-disabled={busy} onClick={save}>
            {t("app.check_in.ask_yes")}
          </button>
          <button type="button" class="btn" onClick={() => setAsked(false)}>
            {t("app.check_in.ask_no")}
          </button>
        </div>
      ) : (
        <button type="button" class="act" aria-disabled={busy} onClick={press}>
          {t("app.check_in.save")}
        </button>
      )}
    </Kerb>
  );
}

/** "Planted today": two taps where the register has planned it, nothing demanded where it has not. */
export function PlantedScreen({ id }: { id: string }) {
  const planter = usePlanter(id);
  const signal = useSignal();
  const card = planter?.view.card;
  const draft = usePlanting(id, card);
  if (planter === null) {
    return (
      <div class="field">
        <Rim title={t("app.planted.title")} back="/planters" />
        <main>
          <EmptyState title={t("app.check_in.not_here")}>
            <p>{t("app.check_in.not_here_why")}</p>
          </EmptyState>
        </main>
      </div>
    );
  }
  if (!card || !draft.case) return <div class="field" aria-busy="true" />;
  return (
    <div class="field">
      <Rim title={card.name} back={`/p/${id}`}>
        {signal}
      </Rim>
      <Fields card={card} draft={draft} />
      <SavePlanting planter={id} draft={draft} />
    </div>
  );
}
