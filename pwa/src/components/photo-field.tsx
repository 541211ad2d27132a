import { useId } from "preact/hooks";
import { t } from "../i18n";
import { FileInput } from "./file-input";
import { Icon } from "./icons";

export interface TakenPhoto {
  sha: string;
  /** A blob address of the shrunk picture. */
  url: string;
}

export interface PhotoFieldProps {
  photos: TakenPhoto[];
  onAdd: (file: File) => void;
  onRemove: (sha: string) => void;
  /** True while a picture is being made small. */
  busy?: boolean;
  /** What went wrong with the last picture, and what to do. */
  trouble?: string | null;
  label?: string;
  hint?: string;
  most?: number;
}

function Take({
  label,
  busy,
  onAdd,
}: {
  label: string;
  busy: boolean;
  onAdd: (file: File) => void;
}) {
  const id = useId();
  return (
    <div class="photos__take">
      <FileInput id={id} accept="image/*" camera name={label} onFile={onAdd} />
      <span class="btn" aria-hidden="true">
        <Icon name="camera" /> {busy ? t("app.photo.busy") : label}
      </span>
    </div>
  );
}

/** Pictures of the planter: taken, looked at, taken again, removed. Never people. */
export function PhotoField(props: PhotoFieldProps) {
  const { photos, onAdd, onRemove, busy = false, most = 4 } = props;
  const first = props.label ?? t("app.photo.take");
  return (
    <div class="photos">
      {photos.map((photo) => (
        <div key={photo.sha} class="photos__one">
          <img src={photo.url} alt={t("app.photo.taken")} />
          <div class="stack">
            <Take
              label={t("app.photo.retake")}
              busy={busy}
              onAdd={(file) => {
                onRemove(photo.sha);
                onAdd(file);
              }}
            />
            <button type="button" class="btn" onClick={() => onRemove(photo.sha)}>
              {t("app.photo.remove")}
            </button>
          </div>
        </div>
      ))}
      {photos.length < most && (
        <Take label={photos.length ? t("app.photo.another") : first} busy={busy} onAdd={onAdd} />
      )}
      {props.trouble && <p role="alert">{props.trouble}</p>}
      <p class="small soft">{props.hint ?? t("app.photo.never_people")}</p>
    </div>
  );
}
