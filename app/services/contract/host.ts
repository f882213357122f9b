// What the host says of itself: where it keeps its data, what stands against it, files it was handed, pages it printed.
import type { Problem } from '../../core/base/result.ts';
import type { IsoTime } from '../../core/base/units.ts';

/** A problem that stays on screen until it is gone: an unwritable folder, a file set aside. */
export interface StandingProblem extends Problem {
  readonly since: IsoTime;
}

export interface HostInfo {
  readonly kind: 'electron' | 'browser';
  readonly version: string;
  readonly dataDirectory: string;
  readonly problems: readonly StandingProblem[];
}

export type PrintAnswer =
  | { readonly kind: 'saved'; readonly path: string }
  | { readonly kind: 'cancelled' }
  | { readonly kind: 'not-saved'; readonly path: string; readonly why: string }
  /** The browser host has no printer of its own: the view calls `window.print()`. */
  | { readonly kind: 'use-browser-print' };

/** A file's bytes, or why it could not be read. */
export type OpenedFile =
  | { readonly name: string; readonly base64: string }
  | { readonly name: string; readonly why: string };
