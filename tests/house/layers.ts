// The house from the ground up: which folder may import which, and which packages each may use.

/**
 * A folder (with all in it) imports from its own and from rows above its own in this list, never from rows below.
 * Folders of one row do not know each other. The longest name that fits a file decides; `x/*` is the files right in x.
 */
export const layers: readonly (readonly string[])[] = [
  ['app/core/base'],
  ['app/core/model'],
  ['app/core/rhythm'],
  ['app/core/harmony'],
  ['app/core/fretboard'],
  ['app/core/lead'],
  ['app/core/chart'],
  ['app/core/timeline'],
  ['app/core/units'],
  ['app/core/log'],
  ['app/core/ladder', 'app/core/sound', 'app/core/sheets'],
  ['app/core/band'],
  ['app/core/progress', 'app/core/ear'],
  ['app/core/exchange'],
  ['app/services/contract'],
  ['app/services/client', 'app/services/machine'],
  ['renderer/theme'],
  ['renderer/page'],
  ['renderer/input', 'renderer/audio', 'renderer/parts'],
  ['renderer/state'],
  ['renderer/screens'],
  ['renderer/shell'],
  ['renderer/*'],
  ['app/electron', 'app/browser-host'],
  ['electron.config.ts'],
  ['app/*'],
];

/** What the order alone would allow: the view knows the machine by its contract, and no host knows the view. */
export const apart: readonly (readonly [from: string, to: string])[] = [
  ['renderer', 'app/services/machine'],
  ['app/electron', 'renderer'],
  ['app/browser-host', 'renderer'],
  ['app', 'renderer'],
];

/**
 * How many files of the house each of these may pull in at most, itself not counted; `x/*` is each file below x.
 */
export const reaches: Readonly<Record<string, number>> = {
  'app/core/model': 4,
  'app/core/units/keys.ts': 9,
  'app/core/units': 64,
  'renderer/parts/*': 140,
};

/** Which packages a folder may import; deeper paths of a package count as the package. The longest name decides. */
export const packages: Readonly<Record<string, readonly string[]>> = {
  'app/core': ['zod'],
  'app/core/harmony': ['tonal', 'zod'],
  'app/core/chart': ['tonal', 'zod'],
  'app/core/units': ['@noble/hashes', 'zod'],
  'app/core/ear': ['fft.js', 'pitchy'],
  'app/core/exchange/shared': ['@noble/hashes', 'zod'],
  'app/core/exchange': ['tonal', 'zod', 'fflate', 'saxes', 'papaparse', 'ical.js', 'midi-file'],
  'app/services/contract': ['zod'],
  'app/services/client': [],
  'app/services/machine/courier': ['node:*', 'zod', 'atomically', 'age-encryption', 'webdav'],
  'app/services/machine': ['node:*', 'zod', 'atomically', 'fflate'],
  renderer: ['svelte'],
  'renderer/parts/editor': [
    'svelte',
    '@codemirror/autocomplete',
    '@codemirror/commands',
    '@codemirror/language',
    '@codemirror/lint',
    '@codemirror/search',
    '@codemirror/state',
    '@codemirror/view',
    '@lezer/highlight',
  ],
  'renderer/audio': ['svelte', 'tone', 'fft.js'],
  'renderer/screens': ['svelte', 'uplot'],
  'renderer/parts/handbook': ['svelte', 'marked'],
  'app/electron': ['electron', 'electron-store', 'electron-updater', 'node:*'],
  'app/browser-host': ['node:*', 'conf', 'open', 'zod'],
  app: ['node:*', 'electron-vite', 'vite'],
  'electron.config.ts': [
    'node:*',
    'electron-vite',
    'vite',
    'svelte',
    '@sveltejs/vite-plugin-svelte',
  ],
};
