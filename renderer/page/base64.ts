// Bytes as text and back (RFC 4648, 4), as they travel between page and machine.

/** @throws DOMException where the text is no base64 */
export const fromBase64 = (text: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));

/** As many bytes as a call takes arguments for without trouble in any browser. */
const STRETCH = 0x8000;

/** The inverse of {@link fromBase64}. */
export function toBase64(bytes: Uint8Array): string {
  let text = '';
  for (let at = 0; at < bytes.length; at += STRETCH)
    text += String.fromCharCode(...bytes.subarray(at, at + STRETCH));
  return btoa(text);
}
