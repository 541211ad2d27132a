/** From a tag to its planter: by camera, by a photo of the tag, or by typing the short code. */

import type { RefObject } from "preact";
import { useRef, useState } from "preact/hooks";
import { useLocation } from "preact-iso";
import { CodeField } from "../components/code-field";
import { FileInput } from "../components/file-input";
import { Icon } from "../components/icons";
import { Kerb } from "../components/kerb";
import { Rim } from "../components/rim";
import { codeFromAddress, display, fold } from "../domain/tag-code";
import { t } from "../i18n";
import { readTown } from "../store/planters";
import { type Camera, useCamera } from "./use-camera";
import { useSignal } from "./use-frame";
import { useStored } from "./use-stored";

type Trouble = "none" | "foreign" | "nothing";

/** The addresses whose codes we open: this app's own, and the one printed on the tags (T6). */
function useOwnAddresses(): string[] {
  const town = useStored(["town"], readTown);
  return town?.tag_address ? [location.origin, town.tag_address] : [location.origin];
}

function TagPhoto({ onPicture }: { onPicture: (picture: ImageBitmap) => void }) {
  const [wrong, setWrong] = useState(false);
  const take = async (file: File) => {
    try {
      setWrong(false);
      onPicture(await createImageBitmap(file));
    } catch {
      setWrong(true);
    }
  };
  return (
    <div class="stack">
      <div class="photos__take">
        <FileInput
          accept="image/*"
          camera
          name={t("app.scan.photo")}
          onFile={(file) => void take(file)}
        />
        <span class="btn" aria-hidden="true">
          <Icon name="camera" /> {t("app.scan.photo")}
        </span>
      </div>
      {wrong && <p role="alert">{t("app.scan.no_picture")}</p>}
    </div>
  );
}

/** The camera's picture with its light, or words about why there is none. */
function Viewer({ camera, video }: { camera: Camera; video: RefObject<HTMLVideoElement | null> }) {
  if (camera.state === "refused" || camera.state === "none") {
    return <p class="slab">{t(`app.scan.${camera.state}`)}</p>;
  }
  return (
    <>
      <figure class="scan">
        <video ref={video} playsInline muted autoplay aria-label={t("app.scan.video")} />
        <span class="scan__frame" aria-hidden="true" />
        <figcaption>{t(camera.state === "on" ? "app.scan.hold" : "app.scan.starting")}</figcaption>
      </figure>
      {camera.torch !== null && (
        <button
          type="button"
          class="btn"
          aria-pressed={camera.torch}
          onClick={() => camera.setTorch(!camera.torch)}
        >
          {t(camera.torch ? "app.scan.torch_off" : "app.scan.torch_on")}
        </button>
      )}
    </>
  );
}

/** The scanner. */
export function ScanScreen() {
  const { route } = useLocation();
  const signal = useSignal();
  const own = useOwnAddresses();
  const [trouble, setTrouble] = useState<Trouble>("none");
  const video = useRef<HTMLVideoElement>(null);
  const open = (code: string) => route(`/t/${code}`, true);
  /** True when one of the texts is a tag of ours; then it is opened. */
  const judge = (texts: string[]): boolean => {
    const code = texts.map((text) => codeFromAddress(text, own)).find((found) => found !== null);
    if (code) {
      navigator.vibrate?.(40);
      open(code);
    } else if (texts.length) {
      setTrouble("foreign");
    }
    return Boolean(code);
  };
  const camera = useCamera(video, judge);
  const fromPicture = async (picture: ImageBitmap) => {
    const texts = await camera.read(picture);
    picture.close();
    if (!judge(texts) && !texts.length) setTrouble("nothing");
  };
  return (
    <div class="field">
      <Rim title={t("app.scan.title")} back="/">
        {signal}
      </Rim>
      <main>
        <Viewer camera={camera} video={video} />
        <div role="status">
          {trouble !== "none" && <p class="caution">{t(`app.scan.${trouble}`)}</p>}
        </div>
        <TagPhoto onPicture={(picture) => void fromPicture(picture)} />
        <CodeField
          label={t("app.scan.type")}
          open={t("app.scan.open")}
          onCode={open}
          wrong={(typed) => t("app.scan.bad_code", { code: display(fold(typed)) })}
        />
      </main>
      <Kerb>
        <p class="small">{t("app.scan.by_list")}</p>
        <a class="btn" href="/">
          {t("app.scan.list")}
        </a>
      </Kerb>
    </div>
  );
}
