// Reads the guitar chord table of Debian's `lilypond-data` (predefined-guitar-fretboards.ly), if installed.
import { existsSync, globSync, readFileSync } from 'node:fs';
import type { Frets } from '../../app/core/model/chart.ts';
import type { Finger } from '../../app/core/base/units.ts';
import { needs } from '../support/needs.ts';

export interface TableEntry {
  /** As a chord symbol: "C#m7". */
  readonly symbol: string;
  readonly frets: Frets;
  /** From string 6 to string 1; null where the table names none. */
  readonly fingers: readonly (Finger | null)[];
}

const TABLES = '/usr/share/lilypond/*/ly/predefined-guitar*-fretboards.ly';

const files = globSync(TABLES).filter((file) => existsSync(file));
export const needsTable = needs(files.length > 0, 'Debian’s lilypond-data is not installed here');

/** Empty when the package is not installed. */
export function readTable(): readonly TableEntry[] {
  const text = files.map((file) => readFileSync(file, 'utf8').replace(/^%.*$/gm, '')).join('\n');
  const shapes = new Map(
    [...text.matchAll(/\\addChordShape #'(\S+) #guitar-tuning "([^"]+)"/g)].map(
      ([, name, shape]) => [name!, shape!],
    ),
  );
  return [...text.matchAll(STORED)].map(([, chord, written, up, name]) =>
    entry(chord!, written ?? shapes.get(name!)!, Number(up ?? 0)),
  );
}

/** A diagram is written out, or is a named shape, moved up by some frets or not. */
const STORED =
  /\\chordmode \{([^}]+)\}\s+#guitar-tuning\s+(?:"([^"]+)"|#\((?:offset-fret (-?\d+) \()?chord-shape '(\S+) guitar-tuning\)+)/g;

/** "x;3-3;2-2;o;1-1;o;" is string 6 to string 1: muted, open, or fret-finger; barres in brackets. */
function entry(chord: string, written: string, up: number): TableEntry {
  const strings = written.split(';').slice(0, 6);
  return {
    symbol: symbolOf(chord),
    frets: strings.map((s) => (s === 'x' ? null : s === 'o' ? 0 : Number.parseInt(s, 10) + up)),
    fingers: strings.map((s) => (Number(s.split('-')[1]) || null) as Finger | null),
  };
}

/** Dutch note names: cis is C♯, ees is E♭, as is A♭. */
function symbolOf(chord: string): string {
  const [note, quality = ''] = chord.split(':');
  const sign = /is$/.test(note!) ? '#' : /(?:es|^as)$/.test(note!) && note !== 'e' ? 'b' : '';
  return note![0]!.toUpperCase() + sign + quality;
}
