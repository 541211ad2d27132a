/** The camera while the scanner is open: one stream, frames read one after the other, tracks stopped. */

import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

export type CameraState = "starting" | "on" | "refused" | "none";

export interface Camera {
  state: CameraState;
  /** Whether the light is on; null when the phone offers none. */
  torch: boolean | null;
  setTorch: (on: boolean) => void;
  read: (picture: ImageBitmapSource) => Promise<string[]>;
}

/** Torch is in no TypeScript library: it is Chromium's on phones. */
type TorchTrack = Omit<MediaStreamTrack, "getCapabilities" | "applyConstraints"> & {
  getCapabilities?: () => { torch?: boolean };
  applyConstraints: (how: { advanced: { torch: boolean }[] }) => Promise<void>;
};

const PAUSE_MS = 150;
const loadReader = () => import("../actions/read-code");

async function openCamera(): Promise<MediaStream> {
  return navigator.mediaDevices.getUserMedia({
    audio: false,
    video: { facingMode: "environment", width: { ideal: 1280 }, height: { ideal: 720 } },
  });
}

/** Reads frame after frame until `judge` says true or `open` says no more. */
async function watchFrames(
  video: HTMLVideoElement,
  open: () => boolean,
  judge: (texts: string[]) => boolean,
): Promise<void> {
  const { readCodes } = await loadReader();
  while (open()) {
    // A frame that cannot be read is followed by the next one.
    const texts = await readCodes(video).catch(() => []);
    if (open() && texts.length && judge(texts)) return;
    await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
  }
}

function stopTracks(stream: MediaStream | null): void {
  for (const track of stream?.getTracks() ?? []) track.stop();
}

/** Shows the camera in `video` and hands every frame's codes to `judge` until it says true. */
export function useCamera(
  video: RefObject<HTMLVideoElement | null>,
  judge: (texts: string[]) => boolean,
): Camera {
  const [state, setState] = useState<CameraState>(navigator.mediaDevices ? "starting" : "none");
  const [torch, setTorchState] = useState<boolean | null>(null);
  const track = useRef<TorchTrack | null>(null);
  const latestJudge = useRef(judge);
  latestJudge.current = judge;

  useEffect(() => {
    let open = true;
    let stream: MediaStream | null = null;
    const start = async () => {
      try {
        stream = await openCamera();
        if (!open || !video.current) return stopTracks(stream);
        video.current.srcObject = stream;
        await video.current.play();
        track.current = (stream.getVideoTracks()[0] as TorchTrack | undefined) ?? null;
        if (track.current?.getCapabilities?.().torch) setTorchState(false);
        setState("on");
        await watchFrames(
          video.current,
          () => open,
          (texts) => latestJudge.current(texts),
        );
      } catch (error) {
        stopTracks(stream);
        const refused = error instanceof DOMException && error.name === "NotAllowedError";
        if (open) setState(refused ? "refused" : "none");
      }
    };
    if (navigator.mediaDevices) void start();
    return () => {
      open = false;
      track.current = null;
      stopTracks(stream);
    };
  }, [video]);

  const setTorch = (on: boolean) => {
    void track.current
      ?.applyConstraints({ advanced: [{ torch: on }] })
      .then(() => setTorchState(on))
      .catch(() => setTorchState(null));
  };
  return {
    state,
    torch,
    setTorch,
    read: async (picture) => (await loadReader()).readCodes(picture),
  };
}
