import { useState } from "preact/hooks";
import { Field } from "../components/field";
import { Fold } from "../components/fold";
import type { CoursePhoto, PlanterCourse } from "../domain/planter-course";
import { dayWords, t, tn, word } from "../i18n";
import { PhotoThumb } from "./photo-thumb";
import { momentOnPaper } from "./report-figures";

const SIDES = ["first", "second"] as const;
type Side = (typeof SIDES)[number];
type Picked = Record<Side, string>;

function dateOf(photo: CoursePhoto): string {
  return `${dayWords(photo.day, true)} ${photo.day.slice(0, 4)}`;
}

function altOf(photo: CoursePhoto): string {
  return t("app.planter.photo_of", { when: momentOnPaper(photo.at), by: photo.by });
}

/** Where looking begins: the season's first and last photo, or the nearest there is. */
function firstPick(course: PlanterCourse): Picked {
  const { photos, begins, until } = course;
  const own = photos.filter((one) => one.day >= begins && one.day <= until);
  const some = own.length ? own : photos;
  const here = some.filter((one) => one.state === "here");
  const from = here.length ? here : some;
  return { first: from[0]?.sha ?? "", second: from.at(-1)?.sha ?? "" };
}

/** One of the two: its date chosen from all there are, the whole picture, who took it. */
function OneSide(props: {
  side: Side;
  photos: CoursePhoto[];
  photo: CoursePhoto;
  onPick: (sha: string) => void;
}) {
  const { side, photos, photo, onPick } = props;
  return (
    <figure class="beside__one">
      <div class="no-print">
        <Field label={t(`app.course.photo_${side}`)}>
          <select value={photo.sha} onChange={(e) => onPick(e.currentTarget.value)}>
            {photos.map((one) => (
              <option key={one.sha} value={one.sha}>
                {momentOnPaper(one.at)}
              </option>
            ))}
          </select>
        </Field>
      </div>
      <PhotoThumb
        key={photo.sha}
        sha={photo.sha}
        alt={altOf(photo)}
        onItsWay={photo.state === "on-its-way"}
        large
      />
      <figcaption>
        <b>{momentOnPaper(photo.at)}</b>
        <br />
        {[
          photo.by,
          photo.plants !== null &&
            `${t("app.visit.plants", { score: photo.plants })} (${word("plants", String(photo.plants))})`,
        ]
          .filter(Boolean)
          .join(", ")}
      </figcaption>
    </figure>
  );
}

function Strip(props: { photos: CoursePhoto[]; picked: Picked; onPick: (sha: string) => void }) {
  const { photos, picked, onPick } = props;
  const where = (sha: string) => SIDES.filter((side) => picked[side] === sha);
  return (
    <ul class="film">
      {photos.map((photo) => {
        const sides = where(photo.sha);
        return (
          <li key={photo.sha}>
            <button
              type="button"
              class="film__one"
              aria-pressed={sides.length > 0}
              onClick={() => onPick(photo.sha)}
            >
              <PhotoThumb
                sha={photo.sha}
                alt={altOf(photo)}
                onItsWay={photo.state === "on-its-way"}
              />
              <span>{dateOf(photo)}</span>
              {sides.length > 0 && (
                <b class="film__side">
                  {sides.map((side) => t(`app.course.photo_${side}`)).join(", ")}
                </b>
              )}
            </button>
          </li>
        );
      })}
    </ul>
  );
}

/** All photos as a strip, and any two of them at the same size with their dates. */
export function CoursePhotos({ course }: { course: PlanterCourse }) {
  const { photos, begins, until } = course;
  const [picked, setPicked] = useState<Picked>(() => firstPick(course));
  const [side, setSide] = useState<Side>("second");
  if (!photos.length) {
    return (
      <section class="report__part">
        <h2>{t("app.course.photos")}</h2>
        <p>{t("app.course.photos_none")}</p>
      </section>
    );
  }
  const pick = (at: Side, sha: string) => setPicked({ ...picked, [at]: sha });
  const shown = (at: Side) => photos.find((one) => one.sha === picked[at]) ?? photos[0];
  const own = photos.filter((one) => one.day >= begins && one.day <= until);
  const others = photos.filter((one) => !own.includes(one));
  const strip = (some: CoursePhoto[]) => (
    <Strip photos={some} picked={picked} onPick={(sha) => pick(side, sha)} />
  );
  return (
    <section class="report__part" id="photos">
      <h2>{t("app.course.photos")}</h2>
      <div class="beside">
        {(photos.length > 1 ? SIDES : SIDES.slice(0, 1)).map((at) => {
          const photo = shown(at);
          return (
            photo && (
              <OneSide
                key={at}
                side={at}
                photos={photos}
                photo={photo}
                onPick={(sha) => pick(at, sha)}
              />
            )
          );
        })}
      </div>
      {photos.length > 1 && (
        <div class="no-print stack">
          <fieldset class="pick">
            <legend class="small">{t("app.course.photo_tap")}</legend>
            <div class="row">
              {SIDES.map((at) => (
                <button
                  key={at}
                  type="button"
                  class="btn"
                  aria-pressed={side === at}
                  onClick={() => setSide(at)}
                >
                  {t(`app.course.photo_${at}`)}
                </button>
              ))}
            </div>
          </fieldset>
          {own.length > 0 && strip(own)}
          {others.length > 0 &&
            (own.length ? (
              <Fold summary={tn("app.course.photos_others", others.length)}>{strip(others)}</Fold>
            ) : (
              strip(others)
            ))}
        </div>
      )}
    </section>
  );
}
