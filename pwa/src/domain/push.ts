/** Where a browser takes pushes, as the server wants to know it. No DOM: the worker uses it too. */

export interface PushAddress {
  endpoint: string;
  p256dh: string;
  auth: string;
}

/** What a push says once it is decrypted; see services/push.py. */
export interface PushText {
  title: string;
  body: string;
  path: string;
  tag: string;
}

/** The address of a subscription; null where the browser left out a part. */
export function addressOf(json: {
  endpoint?: string;
  keys?: Record<string, string>;
}): PushAddress | null {
  const { endpoint, keys } = json;
  if (!endpoint || !keys?.p256dh || !keys.auth) return null;
  return { endpoint, p256dh: keys.p256dh, auth: keys.auth };
}

/** base64url without padding, as keys are told. */
export function toText(bytes: ArrayBuffer): string {
  const binary = Array.from(new Uint8Array(bytes), (byte) => String.fromCharCode(byte)).join("");
  return btoa(binary).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");
}

/**
 * What a push says; whatever did not come from our server becomes a push that says nothing, since
 * the browser wants one shown. A path leads into the app and nowhere else.
 */
export function readPush(text: string | null): PushText {
  let said: Partial<PushText> = {};
  try {
    said = (JSON.parse(text ?? "{}") as Partial<PushText> | null) ?? {};
  } catch {
    // not ours
  }
  const word = (value: unknown, most: number) =>
    typeof value === "string" ? value.slice(0, most) : "";
  const path = word(said.path, 200);
  return {
    title: word(said.title, 200) || "Potrounds",
    body: word(said.body, 1000),
    path: /^\/(?![/\\])/.test(path) ? path : "/",
    tag: word(said.tag, 200) || "potrounds",
  };
}
