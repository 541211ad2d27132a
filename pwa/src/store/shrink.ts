/**
 * Makes a photo small enough to send over a poor line: upright, longest side 1600 px, JPEG.
 * Drawing it anew leaves EXIF, position, maker's notes and the phone's model behind.
 */

import type { FreshPhoto } from "../domain/outbox";
import { sha256 } from "./photos";

const LONGEST_PX = 1600;
const TARGET_BYTES = 400_000;
/** Each try: longest side [px], JPEG quality. The last is taken whatever its size. */
const TRIES: readonly [number, number][] = [
  [LONGEST_PX, 0.8],
  [LONGEST_PX, 0.65],
  [1280, 0.65],
  [1024, 0.6],
];

/** The file is no picture this phone can draw. */
export class NoPicture extends Error {}

async function loaded(address: string): Promise<HTMLImageElement> {
  const image = new Image();
  image.src = address;
  try {
    await image.decode(); // browsers draw it upright, by the photo's own orientation mark
  } catch {
    throw new NoPicture();
  }
  return image;
}

function drawn(image: HTMLImageElement, longest: number, quality: number): Promise<Blob | null> {
  const scale = Math.min(1, longest / Math.max(image.naturalWidth, image.naturalHeight));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(image.naturalWidth * scale));
  canvas.height = Math.max(1, Math.round(image.naturalHeight * scale));
  const brush = canvas.getContext("2d");
  if (!brush) return Promise.resolve(null);
  brush.fillStyle = "#fff"; // a picture with see-through parts would turn black
  brush.fillRect(0, 0, canvas.width, canvas.height);
  brush.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", quality));
}

/** Shrinks a picked or taken picture. Throws NoPicture when it cannot be drawn. */
export async function shrink(file: Blob): Promise<FreshPhoto> {
  const address = URL.createObjectURL(file);
  try {
    const image = await loaded(address);
    let blob: Blob | null = null;
    for (const [longest, quality] of TRIES) {
      blob = await drawn(image, longest, quality);
      if (blob && blob.size <= TARGET_BYTES) break;
    }
    if (blob?.type !== "image/jpeg") throw new NoPicture();
    const bytes = await blob.arrayBuffer();
    return { sha: await sha256(bytes), bytes };
  } finally {
    URL.revokeObjectURL(address);
  }
}
