import { Caution } from "../components/caution";
import { LevelPicker } from "../components/level-picker";
import { PhotoField } from "../components/photo-field";
import { PickRow } from "../components/pick-row";
import { SecondPerson } from "../components/second-person";
import type { FreshPhoto } from "../domain/outbox";
import type { Level, ListName, ListStep } from "../domain/planter";
import { MIX, type Mix, type StepBody } from "../domain/records";
import { t, word } from "../i18n";
import { usePhotoShelf } from "./photo-shelf";
import { PhotoThumb } from "./photo-thumb";

/** What an opened step holds before it is done. */
export interface StepForm {
  level?: Level | null;
  second: string;
  plug_place: string;
  mix: Mix | null;
  standing_water: boolean | null;
  note: string;
}

export function emptyStep(): StepForm {
  return { second: "", plug_place: "", mix: null, standing_water: null, note: "" };
}

/** The step's record: only what was said. */
export function stepBody(
  form: StepForm,
  at: { list: ListName; season: number; step: string },
): StepBody {
  const body: StepBody = { ...at, outcome: "done" };
  if (typeof form.level === "number") body.level = form.level;
  if (form.second.trim()) body.second = form.second.trim();
  if (form.plug_place.trim()) body.plug_place = form.plug_place.trim();
  if (form.mix) body.mix = form.mix;
  if (form.standing_water !== null) body.standing_water = form.standing_water;
  if (form.note.trim()) body.note = form.note.trim();
  return body;
}

/** What this step still lacks to be proven, in words; null when nothing is lacking. */
function lacks(step: ListStep, form: StepForm, photos: number): string | null {
  const shown = photos + step.photos.length > 0;
  if (step.proof === "photo-or-second" && !shown && !form.second.trim() && !step.second) {
    return t("app.winter.lacks_witness");
  }
  if (step.proof === "place" && !form.plug_place.trim() && !step.plug_place) {
    return t("app.winter.lacks_place");
  }
  if (step.code === "second-look" && form.standing_water === null) {
    return t("app.winter.lacks_look");
  }
  return null;
}

interface StepFieldsProps {
  step: ListStep;
  form: StepForm;
  photos: FreshPhoto[];
  people: string[];
  onForm: (form: StepForm) => void;
  onPhoto: (photo: FreshPhoto) => void;
  onRemove: (sha: string) => void;
  /** The plug was pulled today: a second look counts from tomorrow on. */
  tooEarly: boolean;
}

/** Photos belong to these: what a picture can prove. */
const PICTURED = new Set(["read-level", "pull-plug", "bag-plug", "second-look", "inspect", "fill"]);

function LookFound({
  step,
  form,
  onForm,
}: {
  step: ListStep;
  form: StepForm;
  onForm: (form: StepForm) => void;
}) {
  const drips = step.code === "no-drips";
  return (
    <PickRow
      legend={drips ? t("app.winter.drips") : t("app.winter.standing_water")}
      value={form.standing_water === null ? null : form.standing_water ? "yes" : "no"}
      onPick={(answer) =>
        onForm({ ...form, standing_water: answer === null ? null : answer === "yes" })
      }
      choices={[
        { value: "no", word: drips ? t("app.winter.drips_no") : t("app.winter.standing_no") },
        { value: "yes", word: drips ? t("app.winter.drips_yes") : t("app.winter.standing_yes") },
      ]}
    />
  );
}

function Line(props: {
  id: string;
  label: string;
  value: string;
  most: number;
  onText: (text: string) => void;
}) {
  return (
    <div class="line">
      <label for={props.id}>{props.label}</label>
      <input
        id={props.id}
        type="text"
        maxLength={props.most}
        value={props.value}
        onInput={(event) => props.onText(event.currentTarget.value)}
      />
    </div>
  );
}

/** What only this step asks: the level, the mix, what a later look found. */
function Asked({ step, form, onForm, tooEarly }: Omit<StepFieldsProps, "photos" | "people">) {
  switch (step.code) {
    case "read-level":
      return (
        <LevelPicker
          legend={t("app.winter.level")}
          withoutCantTell
          value={form.level}
          onPick={(level) => onForm({ ...form, level })}
        />
      );
    case "mix":
      return (
        <PickRow
          legend={t("app.winter.mix")}
          cols={3}
          value={form.mix}
          onPick={(mix) => onForm({ ...form, mix })}
          choices={MIX.map((value) => ({ value, word: word("mix", value) }))}
        />
      );
    case "second-look":
    case "no-drips":
      return (
        <>
          <LookFound step={step} form={form} onForm={onForm} />
          {step.code === "second-look" && tooEarly && (
            <Caution>{t("app.winter.too_early")}</Caution>
          )}
        </>
      );
    default:
      return null;
  }
}

/** Proof, asked where it can be given: a picture, a second person, the plug's place. */
function Proof(props: StepFieldsProps) {
  const { step, form, photos, people, onForm } = props;
  const shelf = usePhotoShelf(photos);
  const plug = step.code === "pull-plug" || step.code === "bag-plug";
  return (
    <>
      {(PICTURED.has(step.code) || step.proof === "photo-or-second") && (
        <PhotoField
          photos={shelf.taken}
          busy={shelf.busy}
          trouble={shelf.trouble}
          most={2}
          onAdd={(file) => void shelf.add(file).then((photo) => photo && props.onPhoto(photo))}
          onRemove={props.onRemove}
        />
      )}
      {step.proof === "photo-or-second" && (
        <SecondPerson
          people={people}
          value={form.second}
          onChange={(second) => onForm({ ...form, second })}
        />
      )}
      {(step.proof === "place" || step.code === "pull-plug") && (
        <Line
          id={`place-${step.code}`}
          label={t(plug ? "app.winter.plug_place" : "app.winter.its_place")}
          most={80}
          value={form.plug_place}
          onText={(plug_place) => onForm({ ...form, plug_place })}
        />
      )}
    </>
  );
}

/** What one step asks for: proof where it can be given, and nothing that cannot be known. */
export function StepFields(props: StepFieldsProps) {
  const { step, form, photos, onForm } = props;
  const lacking = lacks(step, form, photos.length);
  return (
    <>
      {step.why && <p class="small">{step.why}</p>}
      {step.said && <p>{step.said}</p>}
      {step.photos.length > 0 && (
        <div class="thumbs">
          {step.photos.map((sha) => (
            <PhotoThumb key={sha} sha={sha} alt={t("app.winter.photo_of", { step: step.title })} />
          ))}
        </div>
      )}
      <Asked {...props} />
      <Proof {...props} />
      {lacking && (
        <p>
          <span class="steps__missing">{lacking}</span>
        </p>
      )}
      <Line
        id={`note-${step.code}`}
        label={t("app.check_in.note")}
        most={2000}
        value={form.note}
        onText={(note) => onForm({ ...form, note })}
      />
    </>
  );
}
