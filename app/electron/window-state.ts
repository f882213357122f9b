// Where the window stood, kept between runs; a place on a screen that is gone is forgotten.
import path from 'node:path';
import type { BrowserWindow, Rectangle } from 'electron';
import { screen } from 'electron';
import { inWords } from '../services/machine/store/durable.ts';
import type { FileKind, StoreEngine } from '../services/machine/store/store-file.ts';
import { openStoreFile } from '../services/machine/store/store-file.ts';

export interface WindowState {
  readonly bounds?: Rectangle;
  readonly maximized?: boolean;
}

const kind: FileKind<WindowState> = {
  what: 'the window’s place',
  schemaVersion: 1,
  migrations: [],
  flaw: ({ bounds }) =>
    bounds === undefined || isRectangle(bounds) ? undefined : '‘bounds’ is not a rectangle',
  empty: () => ({}),
};

const isRectangle = (value: unknown): boolean =>
  typeof value === 'object' &&
  value !== null &&
  ['x', 'y', 'width', 'height'].every((key) =>
    Number.isInteger((value as Record<string, unknown>)[key]),
  );

/** The kept state, and the function that keeps a window's state when it closes. */
export function keepWindowState(
  directory: string,
  engine: StoreEngine,
): { readonly state: WindowState; readonly watch: (window: BrowserWindow) => void } {
  const keeping = { root: directory, now: () => new Date() };
  const file = openStoreFile(path.join(directory, 'window.json'), kind, engine, keeping);
  return {
    state: onScreen(file.value),
    watch: (window) => {
      window.on('close', () => {
        try {
          file.save({ bounds: window.getNormalBounds(), maximized: window.isMaximized() });
        } catch (error) {
          console.error(`The window's place was not kept: ${inWords(error)}.`);
        }
      });
    },
  };
}

/** Without bounds when no screen shows at least a corner of 100 by 100 points that could be grabbed. */
export function onScreen(state: WindowState): WindowState {
  const { bounds } = state;
  if (!bounds) return state;
  const visible = screen.getAllDisplays().some(({ workArea }) => overlap(bounds, workArea));
  return visible ? state : { maximized: state.maximized ?? false };
}

const CORNER = 100;

function overlap(a: Rectangle, b: Rectangle): boolean {
  const width = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
  const height = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
  return width >= CORNER && height >= CORNER;
}
