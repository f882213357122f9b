// Charts as people play them at home: progressions in one key, with slash chords, at tempos that are mostly moderate.
import type { Bpm, Seconds } from '../../../../app/core/base/units.ts';
import type { Dice } from '../../ear-set/random.ts';
import type { Named, Setting } from '../charts.ts';

/** Common practice, no source. Sixteenths are too quick above {@link QUICKEST_SIXTEENTHS}. */
const STRUMS = {
  '4/4': [
    'eighths D- D- DU DU',
    'eighths D- DU -U D-',
    'eighths D- -- DU --',
    'eighths D- -- -- --',
    'eighths D- D- D- DU',
    'eighths DU -U DU -U',
    'eighths D- DxU D- DxU',
    'eighths UD -D UD -D',
    'eighths U- -U D- DU',
    'eighths -U -U -U -U',
    'triplets D-- D-U D-- D-U',
    'triplets DUD U-- DUD U--',
    'sixteenths D-DU -UD- D-D- DUDU',
    'sixteenths D--- D-DU D--- D-DU',
    '',
    '',
  ],
  '3/4': ['eighths D- D- DU', 'eighths D- DU D-', 'eighths D- -U DU', ''],
  '12/8': ['eighths D-- D-- D-D D--', 'eighths DUD U-U D-- D--', 'eighths D-- --U D-- D-U'],
} as const;
const QUICKEST_SIXTEENTHS: Bpm = 100;

/** Half of the tempos lie between 78 and 121 bpm. */
const TEMPO = { median: 97, spread: 0.32, ends: 0.16 } as const;
const SLOWEST: Bpm = 40;
const FASTEST = { '4/4': 220, '3/4': 190, '12/8': 120 } as const;
/** The shortest time that a chord lasts, and a take. */
const SHORTEST: Seconds = 0.6;
const LONGEST: Seconds = 40;

/** Degrees of a major key, and chords over another bass as players meet them on a way down. */
const PROGRESSIONS: readonly (readonly Degree[])[] = [
  [
    [0, ''],
    [7, ''],
    [9, 'm'],
    [5, ''],
  ],
  [
    [0, ''],
    [5, ''],
    [7, ''],
    [5, ''],
  ],
  [
    [9, 'm'],
    [5, ''],
    [0, ''],
    [7, ''],
  ],
  [
    [0, ''],
    [9, 'm'],
    [2, 'm'],
    [7, '7'],
  ],
  [
    [2, 'm7'],
    [7, '7'],
    [0, 'maj7'],
    [0, '6'],
  ],
  [
    [0, ''],
    [7, '', 11],
    [9, 'm'],
    [0, '', 7],
  ],
  [
    [5, ''],
    [0, '', 4],
    [2, 'm'],
    [7, 'sus4'],
  ],
  [
    [9, 'm'],
    [9, 'm', 7],
    [5, 'maj7'],
    [4, '7'],
  ],
  [
    [0, 'add9'],
    [7, '', 11],
    [9, 'm7'],
    [5, 'maj7'],
  ],
  [
    [0, ''],
    [0, '7'],
    [5, ''],
    [5, 'm'],
  ],
  [
    [2, '', 6],
    [7, ''],
    [0, ''],
    [9, 'm'],
  ],
  [
    [0, ''],
    [4, 'm'],
    [5, 'sus2'],
    [5, ''],
  ],
  [
    [7, '7'],
    [5, '7'],
    [0, '7'],
    [7, '7'],
  ],
  [
    [9, 'm'],
    [4, '7'],
    [9, 'm'],
    [2, 'm'],
  ],
];
type Degree = readonly [degree: number, quality: Named['quality'], bass?: number];

/** Keys from the most to the least played: G, C, D, A, E, then the others. */
const KEYS = [
  ...([
    [7, 9],
    [0, 9],
    [2, 8],
    [9, 7],
    [4, 6],
    [5, 4],
    [11, 2],
  ] as const),
  ...([
    [10, 2],
    [3, 2],
    [8, 1],
    [1, 1],
    [6, 1],
  ] as const),
];

export function drawEveryday(d: Dice): Setting {
  const meter = d.weighted([
    ['4/4', 72],
    ['3/4', 14],
    ['12/8', 14],
  ] as const);
  const beats = meter === '3/4' ? 3 : 4;
  const each = meter === '3/4' || d.chance(0.62) ? 1 : 2;
  const fastest = Math.min(FASTEST[meter], (60 * beats) / (SHORTEST * each));
  const bpm = Math.round(drawTempo(d, fastest));
  const bar = (60 / bpm) * beats;
  const strums = STRUMS[meter].filter((s) => !s.startsWith('s') || bpm <= QUICKEST_SIXTEENTHS);
  const strum = d.pick(strums);
  const swings = meter === '4/4' && strum.startsWith('eighths') && bpm < 170 && d.chance(0.3);
  return {
    ...{ meter, each, bpm, bar, strum },
    feel: swings ? d.pick(['swing 8 2:1', 'swing 8 3:2']) : 'straight',
    tuning: d.weighted([
      ['standard', 68],
      ['drop D', 9],
      ['half step down', 6],
      ['whole step down', 4],
      ['open D', 4],
      ['open G', 4],
      ['DADGAD', 5],
    ]),
    capo: d.chance(0.42) ? d.pick([1, 2, 2, 3, 3, 4, 5, 6, 7]) : 0,
    bars: bar * 8 <= LONGEST ? 8 : 4,
  };
}

/** Sometimes as slow or as fast as it goes. */
function drawTempo(d: Dice, fastest: Bpm): Bpm {
  if (d.chance(TEMPO.ends)) return SLOWEST * (fastest / SLOWEST) ** d.pick([d.between(0, 0.25), 1]);
  return Math.max(SLOWEST, Math.min(fastest, TEMPO.median * Math.exp(d.normal(0, TEMPO.spread))));
}

/** One or two progressions in one key, over and over. */
export function drawProgression(d: Dice, setting: Setting): Named[] {
  const { each, bars } = setting;
  const key = d.weighted(KEYS);
  const [first, second] = [d.pick(PROGRESSIONS), d.pick(PROGRESSIONS)];
  const chords = [...first, ...second].map(([degree, quality, bass]): Named => {
    const root = (key + degree) % 12;
    return { root, quality, ...(bass !== undefined && { bass: (key + bass) % 12 }) };
  });
  const all = Array.from({ length: each * bars }, (_, i) => chords[i % chords.length]!);
  const stands = all.some((chord, i) => JSON.stringify(chord) === JSON.stringify(all[i - 1]));
  return stands ? drawProgression(d, setting) : all;
}
