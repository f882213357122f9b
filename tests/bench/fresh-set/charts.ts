// Charts for the fresh set: typed as a teacher types them, in more meters, feels, tunings and strums than elsewhere.
import type { Bpm, Fret, Seconds } from '../../../app/core/base/units.ts';
import type { Dice } from '../ear-set/random.ts';
import type { Lean } from './model.ts';

/** What of a chart is settled before its chords. */
export interface Setting {
  readonly meter: '4/4' | '3/4' | '12/8';
  readonly feel: string;
  readonly tuning: string;
  readonly capo: Fret;
  readonly strum: string;
  readonly bpm: Bpm;
  /** How long a bar lasts. */
  readonly bar: Seconds;
  /** Chords in a bar, and bars. */
  readonly each: 1 | 2;
  readonly bars: number;
}

/** What is written behind a root. */
export type Quality = '' | 'm' | '7' | 'm7' | 'maj7' | 'sus4' | 'sus2' | 'add9' | '6';

/** A chord by its root (C is 0) and quality, and its bass where that is another tone. */
export interface Named {
  readonly root: number;
  readonly quality: Quality;
  readonly bass?: number;
}

const ROOTS = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'] as const;
const symbolOf = ({ root, quality, bass }: Named): string =>
  `${ROOTS[root % 12]!}${quality}${bass === undefined ? '' : `/${ROOTS[bass % 12]!}`}`;

/** Common practice, no source. Sixteenths are too quick above {@link QUICKEST_SIXTEENTHS}. */
const STRUMS = {
  '4/4': [
    'eighths D- D- D- D-',
    'eighths D- DU -U DU',
    'eighths D- -- D- --',
    'eighths D- -- -- --',
    'eighths DU DU DU DU',
    'eighths D- DxU -U DU',
    'eighths UD UD UD UD',
    'eighths U- DU U- DU',
    'eighths -U DU -U DU',
    'triplets D-U D-U D-U D-U',
    'sixteenths D--U -UD- D-DU -UDU',
    '',
  ],
  '3/4': ['eighths D- DU DU', 'eighths D- -- --', 'eighths D- D- D-'],
  '12/8': ['eighths D-- D-- D-- D--', 'eighths D-U D-U D-U D-U', 'eighths D-- DUD D-- DUD'],
} as const;
const QUICKEST_SIXTEENTHS: Bpm = 105;

/** Slowest and fastest, and the shortest time that a chord lasts. */
const TEMPOS = { '4/4': [40, 220], '3/4': [50, 200], '12/8': [40, 130] } as const;
const SHORTEST: Seconds = 0.55;
/** A take lasts so long at most. */
const LONGEST: Seconds = 40;

/** Degrees of a major key with what players meet there, and how often. */
const DEGREES: readonly (readonly [readonly [number, Quality], number])[] = [
  [[0, ''], 6],
  [[5, ''], 5],
  [[7, ''], 4],
  [[9, 'm'], 4],
  [[2, 'm'], 3],
  [[4, 'm'], 3],
  [[7, '7'], 4],
  [[2, '7'], 1],
  [[4, '7'], 1],
  [[2, 'm7'], 2],
  [[9, 'm7'], 2],
  [[0, 'maj7'], 2],
  [[5, 'maj7'], 1],
  [[7, 'sus4'], 1],
  [[2, 'sus2'], 1],
  [[0, 'add9'], 1],
  [[5, '6'], 1],
];
/** Keys in which beginners are taught oftener than in the others: C, D, E, G, A. */
const OPEN_KEYS = [0, 2, 4, 7, 9] as const;

/** Eighths at which every hand hurries. */
const FAST = {
  tempos: [180, 216],
  strums: [
    'eighths DU DU DU DU',
    'eighths D- DU -U DU',
    'eighths UD UD UD UD',
    'eighths D- D- DU DU',
  ],
} as const;

export const drawSetting = (d: Dice, lean: Lean): Setting =>
  lean === 'fast' ? drawFast(d) : drawUsual(d);

function drawFast(d: Dice): Setting {
  const bpm = Math.round(d.between(...FAST.tempos));
  return {
    ...drawUsual(d),
    ...{ meter: '4/4', feel: 'straight', bpm, bar: 240 / bpm, strum: d.pick(FAST.strums) },
    ...{ each: d.pick([1, 1, 2]), bars: 8 },
  };
}

function drawUsual(d: Dice): Setting {
  const meter = d.weighted([
    ['4/4', 80],
    ['3/4', 9],
    ['12/8', 11],
  ] as const);
  const each = meter === '3/4' || d.chance(0.65) ? 1 : 2;
  const beats = meter === '3/4' ? 3 : 4;
  const [slowest, fastest] = TEMPOS[meter];
  const longest = (60 * beats) / (SHORTEST * each);
  const bpm = Math.round(slowest * (Math.min(fastest, longest) / slowest) ** d.between(0, 1));
  const bar = (60 / bpm) * beats;
  const strums = STRUMS[meter].filter((s) => !s.startsWith('s') || bpm <= QUICKEST_SIXTEENTHS);
  const strum = d.pick(strums);
  const swings = meter === '4/4' && strum.startsWith('eighths') && bpm < 180 && d.chance(0.25);
  return {
    ...{ meter, each, bpm, bar, strum },
    feel: swings ? d.pick(['swing 8 2:1', 'swing 8 3:2']) : 'straight',
    tuning: d.weighted([
      ['standard', 76],
      ['drop D', 6],
      ['half step down', 8],
      ['DADGAD', 5],
      ['open G', 5],
    ]),
    capo: d.chance(0.35) ? d.pick([1, 2, 3, 4, 5, 6, 7]) : 0,
    bars: bar * 8 <= LONGEST ? 8 : 4,
  };
}

/** As many chords as the setting has room for, none like the one before. */
export function drawChords(d: Dice, { each, bars }: Setting): Named[] {
  const key = d.chance(0.6) ? d.pick(OPEN_KEYS) : Math.floor(d.between(0, 12));
  const chords: Named[] = [];
  while (chords.length < each * bars) chords.push(chordOfKey(d, key, chords.at(-1)));
  return chords;
}

export function chordOfKey(d: Dice, key: number, not?: Named): Named {
  for (;;) {
    const [degree, quality] = d.weighted(DEGREES);
    const chord = { root: (key + degree) % 12, quality };
    if (!not || symbolOf(chord) !== symbolOf(not)) return chord;
  }
}

/** One section named Take. */
export function chartText(setting: Setting, chords: readonly Named[]): string {
  const { meter, bpm, feel, capo, tuning, strum, each } = setting;
  const symbols = chords.map(symbolOf);
  const bars = Array.from({ length: symbols.length / each }, (_, i) =>
    symbols.slice(each * i, each * (i + 1)).join(' '),
  );
  return [
    'title: A take',
    `tempo: ${meter === '12/8' ? 'q.' : 'q'} = ${bpm}`,
    ...[`meter: ${meter}`, `feel: ${feel}`, `tuning: ${tuning}`],
    ...(capo > 0 ? [`capo: ${capo}`] : []),
    ...['', '[Take]'],
    ...(strum === '' ? [] : [`strum: ${strum}`]),
    `| ${bars.join(' | ')} |`,
    '',
  ].join('\n');
}
