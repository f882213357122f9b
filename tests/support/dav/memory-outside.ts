// A place outside, in memory, over a line that fails as it is told: for the courier, as a server or a carried folder is.
import {
  type FileOutside,
  type Listing,
  type Outside,
} from '../../../app/services/machine/courier/outside.ts';
import { HOME } from '../../../app/services/machine/shared/places.ts';

/** What happens to one request; the two last are of the server. */
export const LINE_FAULTS = [
  'is cut off',
  'is done, and the answer is lost',
  'goes half',
  'is busy',
  'takes too long',
  'is full',
  'wants a password',
] as const;
export type LineFault = (typeof LINE_FAULTS)[number];

export class MemoryOutside {
  readonly files = new Map<string, { content: Uint8Array; stamp: string }>();
  #changes = 0;

  put(path: string, content: Uint8Array): FileOutside {
    const stamp = `${++this.#changes}`;
    this.files.set(path, { content, stamp });
    return { stamp, bytes: content.length };
  }

  /** @param next what becomes of the next request; undefined where it is well */
  over(next: () => LineFault | undefined): Outside {
    const request = <T>(work: () => T, half?: () => T | undefined): Promise<T> => {
      const fault = next();
      try {
        if (fault === undefined) return Promise.resolve(work());
        if (fault === 'is done, and the answer is lost') work();
        const cut = fault === 'goes half' ? half?.() : undefined;
        if (cut !== undefined) return Promise.resolve(cut);
      } catch (error) {
        return Promise.reject(error as Error);
      }
      return Promise.reject(errorOf(fault));
    };
    const contentOf = (path: string): Uint8Array => {
      const found = this.files.get(path);
      if (!found) throw Object.assign(new Error('no such file'), { status: 404 });
      return found.content;
    };
    const putHalf = (path: string, content: Uint8Array) => (): undefined => {
      this.put(path, halfOf(content));
    };
    return {
      name: 'the place outside',
      list: () => request((): Listing => this.#listing()),
      makeHome: () => request(() => undefined),
      read: (path) =>
        request(
          () => contentOf(path),
          () => halfOf(contentOf(path)),
        ),
      write: (path, content) => request(() => this.put(path, content), putHalf(path, content)),
      writeNew: (path, content) =>
        request(() => !this.files.has(path) && this.put(path, content) !== undefined),
      remove: (path) => request(() => void this.files.delete(path)),
    };
  }

  #listing(): Listing {
    const files = [...this.files].map(
      ([path, { content, stamp }]) => [path, { stamp, bytes: content.length }] as const,
    );
    return new Map([[`${HOME}/about.txt`, { stamp: '', bytes: 0 }], ...files]);
  }
}

const halfOf = (content: Uint8Array): Uint8Array =>
  content.slice(0, Math.floor(content.length / 2));

function errorOf(fault: LineFault): Error {
  switch (fault) {
    case 'is busy':
      return Object.assign(new Error('busy'), { status: 503 });
    case 'is full':
      return Object.assign(new Error('no room'), { status: 507 });
    case 'wants a password':
      return Object.assign(new Error('who is it'), { status: 401 });
    case 'takes too long':
      return Object.assign(new Error('too long'), { name: 'TimeoutError' });
    default:
      return Object.assign(new Error('cut'), { code: 'ECONNRESET' });
  }
}
