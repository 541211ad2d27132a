/** Tag codes: ten Crockford base-32 characters and an ISO 7064 MOD 37-36 check character. */

const BODY = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const CHECK = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
const LENGTH = 11;

/** The check character of a body, by the hybrid system MOD 37,36 of ISO 7064. */
export function checkCharacter(body: string): string {
  const modulus = CHECK.length;
  let product = modulus;
  for (const character of body) {
    let sum = (product + CHECK.indexOf(character)) % modulus;
    if (sum === 0) sum = modulus;
    product = (sum * 2) % (modulus + 1);
  }
  return CHECK[(modulus + 1 - product) % modulus] ?? "";
}

/** What was typed, with hyphens and spaces gone and look-alikes put right: I and L are 1, O is 0. */
export function fold(text: string): string {
  return text
    .toUpperCase()
    .replace(/[\s\-‐-―.]/g, "")
    .replace(/[IL]/g, "1")
    .replace(/O/g, "0");
}

/** True for a whole code whose check character fits. */
export function isValid(text: string): boolean {
  const code = fold(text);
  if (code.length !== LENGTH) return false;
  const body = code.slice(0, -1);
  for (const character of body) if (!BODY.includes(character)) return false;
  return checkCharacter(body) === code.slice(-1);
}

/** A code as it is printed: XXXX-XXXX-XXX. */
export function display(code: string): string {
  return [code.slice(0, 4), code.slice(4, 8), code.slice(8)].filter(Boolean).join("-");
}

/**
 * The code inside a scanned address, or null. Only our own addresses count: this app's own and the
 * one printed on the tags, so that a foreign sticker opens nothing (T6).
 */
export function codeFromAddress(text: string, own: readonly string[]): string | null {
  let address: URL;
  try {
    address = new URL(text.trim());
  } catch {
    return null;
  }
  const match = /^\/t\/([^/]+)\/?$/i.exec(address.pathname);
  if (!match?.[1] || !own.some((origin) => sameOrigin(origin, address))) return null;
  return isValid(match[1]) ? fold(match[1]) : null;
}

function sameOrigin(own: string, address: URL): boolean {
  try {
    return new URL(own).origin === address.origin;
  } catch {
    return false;
  }
}
