// The built view's files: which file a page address means, and of which type it is. Nothing outside is ever named.
import path from 'node:path';

const TYPES: ReadonlyMap<string, string> = new Map(
  Object.entries({
    '.html': 'text/html; charset=utf-8',
    '.js': 'text/javascript; charset=utf-8',
    '.css': 'text/css; charset=utf-8',
    '.json': 'application/json; charset=utf-8',
    '.svg': 'image/svg+xml',
    '.png': 'image/png',
    '.ico': 'image/x-icon',
    '.wav': 'audio/wav',
    '.ogg': 'audio/ogg',
    '.mp3': 'audio/mpeg',
    '.woff2': 'font/woff2',
    '.wasm': 'application/wasm',
    '.bin': 'application/octet-stream',
    '.map': 'application/json; charset=utf-8',
    '.webmanifest': 'application/manifest+json',
  }),
);

export interface ViewFile {
  readonly path: string;
  readonly type: string;
  /** Its name carries a digest of what is in it, so it never changes. */
  readonly lasting: boolean;
}

/** Where the build puts all files with a digest in their names. */
const DIGESTED = `assets${path.sep}`;

/**
 * The file that a URL's path means, or undefined when it lies outside the folder, is malformed or of no known type.
 * @param pathname As in a URL: starts with a slash, percent-encoded.
 */
export function viewFile(folder: string, pathname: string): ViewFile | undefined {
  const decoded = decode(pathname);
  if (decoded === undefined || decoded.includes('\0') || decoded.includes('\\')) return undefined;
  const relative = decoded === '/' ? 'index.html' : decoded.replace(/^\/+/, '');
  const full = path.resolve(folder, relative);
  const inside = path.relative(folder, full);
  if (inside.startsWith('..') || path.isAbsolute(inside)) return undefined;
  const type = TYPES.get(path.extname(full));
  return type ? { path: full, type, lasting: inside.startsWith(DIGESTED) } : undefined;
}

function decode(pathname: string): string | undefined {
  try {
    return decodeURIComponent(pathname);
  } catch {
    return undefined;
  }
}
