// What a page of this program may load and do, sent by both hosts with every answer.
import path from 'node:path';
import type { ViewFile } from './view-files.ts';

/**
 * Tone's clock worker and its worklets are blobs, and so are pictures of the history and
 * recordings that are played, hence `blob:` there and nowhere else; style attributes come from Svelte's templates.
 * Nothing is ever loaded from another place.
 */
const POLICY = {
  'default-src': "'none'",
  'script-src': "'self'",
  'worker-src': "'self' blob:",
  'style-src': "'self'",
  'style-src-attr': "'unsafe-inline'",
  'img-src': "'self' data: blob:",
  'media-src': 'blob:',
  'font-src': "'self'",
  'connect-src': "'self'",
  'manifest-src': "'self'",
  'form-action': "'none'",
  'frame-ancestors': "'none'",
  'base-uri': "'none'",
  'object-src': "'none'",
} as const;

const wordsOf = (policy: Readonly<Record<string, string>>): string =>
  Object.entries(policy)
    .map(([directive, sources]) => `${directive} ${sources}`)
    .join('; ');

export const CONTENT_POLICY = wordsOf(POLICY);

/** The ear's thread multiplies in WebAssembly; that thread alone may, and still runs no script from text. */
export const EAR_POLICY = wordsOf({ ...POLICY, 'script-src': "'self' 'wasm-unsafe-eval'" });
const EAR_THREAD = /^analysis\.worker[\w.-]*\.js$/;
/** What a thread may comes with its file, and may differ in another version while the file does not. */
const THREAD = /worker[\w.-]*\.js$/;

/** Isolation gives the page exact timers; the rest refuses what this program never needs. */
export const PAGE_HEADERS: Readonly<Record<string, string>> = {
  'content-security-policy': CONTENT_POLICY,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-embedder-policy': 'require-corp',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy':
    'microphone=(self), midi=(self), screen-wake-lock=(self), camera=(), geolocation=(), payment=(), usb=(), serial=(), display-capture=()',
  'cache-control': 'no-cache',
};

/** A browser need not ask for such a file again, and keeps what it has compiled of it (RFC 8246). */
const LASTING = 'private, max-age=31536000, immutable';

/** What is sent with a file of the view. */
export function headersOf(file: ViewFile): Readonly<Record<string, string>> {
  const name = path.basename(file.path);
  return {
    ...PAGE_HEADERS,
    'content-type': file.type,
    ...(EAR_THREAD.test(name) && { 'content-security-policy': EAR_POLICY }),
    ...(file.lasting && !THREAD.test(name) && { 'cache-control': LASTING }),
  };
}
