// Reads the part of a chord symbol after the root: guitarists' spellings → intervals from the root.
import { ChordType, Interval } from 'tonal';
import { toAscii } from './notes.ts';

export interface Quality {
  /** One word per set of intervals, ASCII: '', 'm', '7', 'maj7', 'm7b5', '6/9' … It can be read again. */
  readonly name: string;
  /** Scientific interval names, ascending, '1P' first. */
  readonly intervals: readonly string[];
}

/** The spellings that differ from the library's first alias; found by comparing intervals, not text. */
const HOUSE_NAMES: ReadonlyMap<string, string> = new Map([
  ['M', ''],
  ['m/ma7', 'm(maj7)'],
  ['6add9', '6/9'],
  ['Madd9', 'add9'],
  ['oM7', 'dim(maj7)'],
  ['o7M7', 'dim7(maj7)'],
  ['maj#4', 'maj7#11'],
  ['4', 'quartal'],
  ['Mb5', '(b5)'],
  ['b9sus', '7sus4b9'],
  ['alt7', '7b9no5'],
  ['M7b6', 'M7b6'],
  ['M6#11', '6#11'],
  ['M7add13', 'M7add13'],
]);

const semitonesOf = (interval: string): number => Interval.semitones(interval);
const intervalKey = (intervals: readonly string[]): string =>
  [...intervals].sort((a, b) => semitonesOf(a) - semitonesOf(b) || (a < b ? -1 : 1)).join(' ');

const houseName = (alias: string): string =>
  HOUSE_NAMES.get(alias) ?? alias.replace(/^(m?)M(?=\d|aj)(aj)?/, '$1maj').replace(/^M(?=add)/, '');

/** Interval set → house name, for every quality the library knows. */
const nameByIntervals: ReadonlyMap<string, string> = new Map(
  ChordType.all().map((type) => [intervalKey(type.intervals), houseName(type.aliases[0]!)]),
);

/** Spelling out words and signs, first match first; the result is what {@link compose} understands. */
const REWRITES: readonly (readonly [RegExp, string])[] = [
  [/[()[\],\s]/g, ''],
  [/^major/i, 'maj'],
  [/^minor/i, 'm'],
  [/[Δ△∆▵](?=\d)/g, 'maj'],
  [/[Δ△∆▵]/g, 'maj7'],
  [/^(?:half-?dim(?:inished)?|hdim|[øØ]|h)7?/i, 'm7b5'],
  [/^dim(?:inished)?(?=\d|$|maj|M)/i, 'dim'],
  [/^[°º˚o](?=\d|$|maj|M)/, 'dim'],
  [/^(?:augmented|aug|\+)(?=\d|$|maj|M|sus|add)/i, 'aug'],
  [/^dom(?:inant)?(?=\d)/i, ''],
  [/^(?:min|mi|-)/i, 'm'],
  [/^m[/-](?=ma|M)/, 'm'],
  [/^(m?)(?:maj|Maj|MAJ|ma|Ma|MA|M)(?=\d|$|add|sus|no|[b#])/, '$1maj'],
  [/(?<=\d|dim|aug)(?:maj|ma|M|Maj)(?=7|9)/g, 'maj'],
  [/(?<=\d)-(?=5|6|9|11|13)/g, 'b'],
  [/(?<=\d)\+(?=4|5|9|11|13)/g, '#'],
  [/(?<=\d)\+$/g, '#5'],
  [/sus(?![24])/g, 'sus4'],
  [/omit/g, 'no'],
];

function rewrite(suffix: string): string {
  return REWRITES.reduce((text, [from, to]) => text.replace(from, to), suffix);
}

/** The library looks words up in plain objects, where "constructor" is found; so its list is kept in a map. */
const LIBRARY: ReadonlyMap<string, readonly string[]> = new Map(
  ChordType.all().flatMap(({ name, aliases, intervals }) =>
    [...(name ? [name] : []), ...aliases].map((word) => [word, intervals] as const),
  ),
);
const fromLibrary = (name: string): readonly string[] | undefined => LIBRARY.get(name);

/** Scientific name of a degree with accidentals: ('b', 9) → '9m', ('#', 11) → '11A', ('', 13) → '13M'. */
function intervalOf(accidental: string, degree: number): string {
  const perfect = [1, 4, 5].includes(((degree - 1) % 7) + 1);
  if (accidental === '') return `${degree}${perfect ? 'P' : 'M'}`;
  if (accidental === '#') return `${degree}A`;
  return `${degree}${perfect ? 'd' : 'm'}`;
}

const without = (intervals: readonly string[], ...degrees: number[]): string[] =>
  intervals.filter((interval) => !degrees.includes(Number.parseInt(interval, 10)));

type Change = (intervals: readonly string[], match: readonly string[]) => readonly string[];

/** What may follow a base quality, e.g. "sus2", "add11", "no5", "b9", "maj7", "/9". */
const CHANGES: readonly (readonly [RegExp, Change])[] = [
  [/^sus24/, (now) => ['2M', '4P', ...without(now, 3)]],
  [/^sus2/, (now) => ['2M', ...without(now, 3)]],
  [/^sus4/, (now) => ['4P', ...without(now, 3)]],
  [/^maj7/, (now) => [...without(now, 7), '7M']],
  [/^maj9/, (now) => [...without(now, 7, 9), '7M', '9M']],
  [/^no(\d+)/, (now, [, degree]) => without(now, Number(degree))],
  [
    /^(?:add|\/)([b#]?)(2|4|6|9|11|13)(?!\d)/,
    (now, m) => [...now, intervalOf(m[1]!, Number(m[2]))],
  ],
  [/^([b#])5/, (now, [, sign]) => [...withoutPlainFifth(now), intervalOf(sign!, 5)]],
  [/^([b#])(4|6|9|11|13)(?!\d)/, (now, m) => withAltered(now, m[1]!, Number(m[2]))],
];

const withoutPlainFifth = (now: readonly string[]): string[] => now.filter((i) => i !== '5P');

const withAltered = (now: readonly string[], sign: string, degree: number): string[] => [
  ...now.filter((interval) => interval !== intervalOf('', degree)),
  intervalOf(sign, degree === 4 ? 11 : degree),
];

/** Extended chords that the library lacks: the natural stack up to the 11th or 13th. */
const STACKS: ReadonlyMap<string, readonly string[]> = new Map([
  ['maj11', ['1P', '3M', '5P', '7M', '9M', '11P']],
  ['mmaj11', ['1P', '3m', '5P', '7M', '9M', '11P']],
  ['mmaj13', ['1P', '3m', '5P', '7M', '9M', '11P', '13M']],
  ['dim9', ['1P', '3m', '5d', '7d', '9M']],
]);

/** Library names for what the rewrites produce. */
const LIBRARY_NAMES: ReadonlyMap<string, string> = new Map([
  ['mmaj7', 'mM7'],
  ['mmaj9', 'mM9'],
  ['alt', '7alt'],
  ['aug9', '9#5'],
  ['augmaj7', 'maj7#5'],
  ['dimmaj7', 'oM7'],
  ['dim7maj7', 'o7M7'],
  ['m6/9', 'm69'],
  ['quartal', '4'],
  ['no3', '5'],
]);

const base = (name: string): readonly string[] | undefined =>
  STACKS.get(name) ?? fromLibrary(LIBRARY_NAMES.get(name) ?? name);

function applyChanges(intervals: readonly string[], rest: string): readonly string[] | undefined {
  let now = intervals;
  let left = rest;
  while (left !== '') {
    const found = CHANGES.map(([pattern, change]) => [pattern.exec(left), change] as const).find(
      ([match]) => match,
    );
    if (!found) return undefined;
    now = found[1](now, [...found[0]!]);
    left = left.slice(found[0]![0].length);
  }
  return now;
}

/** The longest beginning that is a quality by itself, then changes to it one by one. */
function compose(text: string): readonly string[] | undefined {
  for (let end = text.length; end >= 0; end--) {
    const start = base(text.slice(0, end));
    const result = start && applyChanges(start, text.slice(end));
    if (result) return result;
  }
  return undefined;
}

const ascending = (intervals: readonly string[]): string[] =>
  [...new Set(intervals)].sort(
    (a, b) => semitonesOf(a) - semitonesOf(b) || Number.parseInt(a, 10) - Number.parseInt(b, 10),
  );

const cache = new Map<string, Quality | undefined>();

/** Undefined when the suffix cannot be read. The same suffix always returns the same frozen object. */
export function readQuality(suffix: string): Quality | undefined {
  if (!cache.has(suffix)) cache.set(suffix, readFresh(suffix));
  return cache.get(suffix);
}

function readFresh(suffix: string): Quality | undefined {
  const plain = toAscii(suffix);
  const found = fromLibrary(plain) ?? compose(rewrite(plain));
  if (!found) return undefined;
  const intervals = Object.freeze(ascending(found));
  const name = nameByIntervals.get(intervalKey(intervals)) ?? rewrite(plain);
  return Object.freeze({ name, intervals });
}

/** Every quality of the library by house name, simplest (fewest tones) first. */
export const knownQualities = (): readonly Quality[] =>
  ChordType.all().map((type) => ({
    name: nameByIntervals.get(intervalKey(type.intervals))!,
    intervals: type.intervals,
  }));
