/**
 * Reads a tag's QR code from a video frame or a picture, with a reader we host ourselves, so that it
 * works offline and the same way on every phone. Loaded when the scanner opens, and precached.
 */

import { BarcodeDetector, prepareZXingModule } from "barcode-detector/ponyfill";
import wasmAddress from "zxing-wasm/reader/zxing_reader.wasm?url";

prepareZXingModule({
  overrides: {
    locateFile: (path: string, prefix: string) =>
      path.endsWith(".wasm") ? wasmAddress : prefix + path,
  },
});

let detector: BarcodeDetector | null = null;

/** The texts of all QR codes in the picture. */
export async function readCodes(picture: ImageBitmapSource): Promise<string[]> {
  detector ??= new BarcodeDetector({ formats: ["qr_code"] });
  const found = await detector.detect(picture);
  return found.map((code) => code.rawValue);
}
