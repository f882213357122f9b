// The one vocabulary of chord qualities: what reading, naming, near misses, saying aloud, the ear, the shapes and
// MusicXML draw from. A row is a quality by its house spelling and its degrees.
import { Interval } from 'tonal';

/** A `kind` of W3C MusicXML 4.0 (kind-value) that says a quality without further degrees. */
export type MusicXmlKind =
  | 'major'
  | 'minor'
  | 'dominant'
  | 'minor-seventh'
  | 'major-seventh'
  | 'suspended-fourth'
  | 'suspended-second'
  | 'power'
  | 'augmented'
  | 'diminished'
  | 'major-sixth'
  | 'minor-sixth'
  | 'diminished-seventh'
  | 'half-diminished'
  | 'augmented-seventh'
  | 'major-minor'
  | 'dominant-ninth'
  | 'major-ninth'
  | 'minor-ninth'
  | 'dominant-11th'
  | 'major-11th'
  | 'minor-11th'
  | 'dominant-13th'
  | 'major-13th'
  | 'minor-13th';

export interface Quality {
  /** House spelling, ASCII: '', 'm', '7', 'maj7', 'm7b5', '6/9' … It is read as the same quality. */
  readonly name: string;
  /** Scientific interval names from the root, ascending, '1P' first. */
  readonly intervals: readonly string[];
  /** As it is spoken, where it is not spelled out sign by sign. */
  readonly said?: string;
  readonly kind?: MusicXmlKind;
  /** What a guitarist is likely to grip by mistake for another chord (common practice, no source). */
  readonly gripped?: true;
}

interface More {
  readonly said?: string;
  readonly kind?: MusicXmlKind;
  readonly gripped?: true;
}

const gripped = true;

/**
 * The everyday qualities, commonest first: what is offered for a slip of the keys comes from these, the earlier
 * before the later. The order is common practice, no source.
 */
const EVERYDAY: readonly (readonly [name: string, degrees: string, more?: More])[] = [
  ['', '1 3 5', { said: 'major', kind: 'major', gripped }],
  ['m', '1 b3 5', { said: 'minor', kind: 'minor', gripped }],
  ['7', '1 3 5 b7', { said: 'seventh', kind: 'dominant', gripped }],
  ['m7', '1 b3 5 b7', { said: 'minor seventh', kind: 'minor-seventh', gripped }],
  ['maj7', '1 3 5 7', { said: 'major seventh', kind: 'major-seventh', gripped }],
  ['sus4', '1 4 5', { said: 'suspended fourth', kind: 'suspended-fourth', gripped }],
  ['sus2', '1 2 5', { said: 'suspended second', kind: 'suspended-second', gripped }],
  ['6', '1 3 5 6', { said: 'sixth', kind: 'major-sixth', gripped }],
  ['add9', '1 3 5 9', { said: 'add nine', gripped }],
  ['dim', '1 b3 b5', { said: 'diminished', kind: 'diminished', gripped }],
  ['aug', '1 3 #5', { said: 'augmented', kind: 'augmented' }],
  ['m6', '1 b3 5 6', { said: 'minor sixth', kind: 'minor-sixth' }],
  ['9', '1 3 5 b7 9', { said: 'ninth', kind: 'dominant-ninth' }],
  ['m9', '1 b3 5 b7 9', { said: 'minor ninth', kind: 'minor-ninth' }],
  ['maj9', '1 3 5 7 9', { said: 'major ninth', kind: 'major-ninth' }],
  ['5', '1 5', { said: 'power chord', kind: 'power' }],
  ['7sus4', '1 4 5 b7', { said: 'seventh suspended fourth' }],
  ['dim7', '1 b3 b5 bb7', { said: 'diminished seventh', kind: 'diminished-seventh' }],
  ['m7b5', '1 b3 b5 b7', { said: 'half diminished', kind: 'half-diminished' }],
  ['6/9', '1 3 5 6 9', { said: 'six nine' }],
  ['7#9', '1 3 5 b7 #9'],
  ['7b9', '1 3 5 b7 b9'],
  ['11', '1 5 b7 9 11', { said: 'eleventh', kind: 'dominant-11th' }],
  ['13', '1 3 5 b7 9 13', { said: 'thirteenth', kind: 'dominant-13th' }],
  ['m11', '1 b3 5 b7 9 11', { said: 'minor eleventh', kind: 'minor-11th' }],
  ['7#5', '1 3 #5 b7', { said: 'augmented seventh', kind: 'augmented-seventh' }],
  ['7b5', '1 3 b5 b7'],
  ['m(maj7)', '1 b3 5 7', { said: 'minor, major seventh', kind: 'major-minor' }],
  ['madd9', '1 b3 5 9', { said: 'minor add nine' }],
  ['9sus4', '1 4 5 b7 9', { said: 'ninth suspended fourth' }],
  ['maj7#11', '1 3 5 7 #11'],
  ['m13', '1 b3 5 b7 9 13', { said: 'minor thirteenth', kind: 'minor-13th' }],
  ['maj13', '1 3 5 7 9 13', { said: 'major thirteenth', kind: 'major-13th' }],
];

/** Read, named and spelled as well, but never offered as a correction. */
const RARER: readonly (readonly [name: string, degrees: string, more?: More])[] = [
  ['maj11', '1 3 5 7 9 11', { said: 'major eleventh', kind: 'major-11th' }],
  ['susb2', '1 b2 5'],
  ['sus24', '1 2 4 5', { said: 'suspended second and fourth' }],
  ['add11', '1 3 5 11', { said: 'add eleven' }],
  ['madd11', '1 b3 5 11', { said: 'minor add eleven' }],
  ['addb9', '1 3 5 b9'],
  ['7sus2', '1 2 5 b7', { said: 'seventh suspended second' }],
  ['maj7sus2', '1 2 5 7'],
  ['maj7sus4', '1 4 5 7'],
  ['maj9sus4', '1 4 5 7 9'],
  ['13sus4', '1 4 5 b7 9 13'],
  ['7sus4b9', '1 4 5 b7 b9'],
  ['7sus4b9b13', '1 4 5 b7 b9 b13'],
  ['7#5sus4', '1 4 #5 b7'],
  ['maj7#5sus4', '1 4 #5 7'],
  ['maj9#5sus4', '1 4 #5 7 9'],
  ['b5', '1 3 b5'],
  ['m#5', '1 b3 #5'],
  ['m#5add9', '1 b3 #5 9'],
  ['maj7#5', '1 3 #5 7'],
  ['maj7b5', '1 3 b5 7'],
  ['maj7b6', '1 3 5 b6 7'],
  ['maj7b9', '1 3 5 7 b9'],
  ['maj7#9#11', '1 3 5 7 #9 #11'],
  ['maj7add13', '1 3 5 7 13'],
  ['m7#5', '1 b3 #5 b7'],
  ['m7add11', '1 b3 5 b7 11'],
  ['m7b5add11', '1 b3 b5 b7 11'],
  ['m(maj7)b6', '1 b3 5 b6 7'],
  ['dim(maj7)', '1 b3 b5 7'],
  ['m(maj9)', '1 b3 5 7 9', { said: 'minor, major ninth' }],
  ['m(maj9)b6', '1 b3 5 b6 7 9'],
  ['m(maj11)', '1 b3 5 7 9 11'],
  ['m6/9', '1 b3 5 6 9', { said: 'minor six nine' }],
  ['m9b5', '1 b3 b5 b7 9'],
  ['m9#5', '1 b3 #5 b7 9'],
  ['m11#5', '1 b3 #5 b7 9 11'],
  ['mb6b9', '1 b3 5 b6 b9'],
  ['dim7(maj7)', '1 b3 b5 6 7'],
  ['dim9', '1 b3 b5 bb7 9'],
  ['augadd9', '1 3 #5 9'],
  ['augadd#9', '1 3 #5 #9'],
  ['6#11', '1 3 5 6 #11'],
  ['6/9#11', '1 3 5 6 9 #11'],
  ['7add13', '1 3 5 b7 13'],
  ['7b6', '1 3 5 b6 b7'],
  ['7b13', '1 3 b7 b13'],
  ['7#11', '1 3 5 b7 #11'],
  ['7#11b13', '1 3 5 b7 #11 b13'],
  ['7#5b9', '1 3 #5 b7 b9'],
  ['7#5#9', '1 3 #5 b7 #9', { said: 'altered' }],
  ['7b5b9', '1 3 b5 b7 b9'],
  ['7b5#9', '1 3 b5 b7 #9'],
  ['7#5b9#11', '1 3 #5 b7 b9 #11'],
  ['7b9#9', '1 3 5 b7 b9 #9'],
  ['7b9#11', '1 3 5 b7 b9 #11'],
  ['7b9b13', '1 3 5 b7 b9 b13'],
  ['7b9#11b13', '1 3 5 b7 b9 #11 b13'],
  ['7#9#11', '1 3 5 b7 #9 #11'],
  ['7#9b13', '1 3 5 b7 #9 b13'],
  ['7#9#11b13', '1 3 5 b7 #9 #11 b13'],
  ['7no5', '1 3 b7'],
  ['7b9no5', '1 3 b7 b9'],
  ['9no5', '1 3 b7 9'],
  ['9b5', '1 3 b5 b7 9'],
  ['9#5', '1 3 #5 b7 9'],
  ['9#5#11', '1 3 #5 b7 9 #11'],
  ['9#11', '1 3 5 b7 9 #11'],
  ['9#11b13', '1 3 5 b7 9 #11 b13'],
  ['9b13', '1 3 b7 9 b13'],
  ['11b9', '1 5 b7 b9 11'],
  ['13no5', '1 3 b7 9 13'],
  ['13b5', '1 3 b5 b7 9 13'],
  ['13b9', '1 3 5 b7 b9 13'],
  ['13#9', '1 3 5 b7 #9 13'],
  ['13#11', '1 3 5 b7 9 #11 13'],
  ['13b9#11', '1 3 5 b7 b9 #11 13'],
  ['13#9#11', '1 3 5 b7 #9 #11 13'],
  ['maj9b5', '1 3 b5 7 9'],
  ['maj9#5', '1 3 #5 7 9'],
  ['maj9#11', '1 3 5 7 9 #11'],
  ['maj13#11', '1 3 5 7 9 #11 13'],
];

const PERFECT = new Set([1, 4, 5, 8, 11]);

/** 'b3' → '3m', 'bb7' → '7d', '#11' → '11A', '13' → '13M'. @throws RangeError for what is no degree. */
export function intervalOf(degree: string): string {
  const [, signs, digits] = /^(bb|b|#|)(\d{1,2})$/.exec(degree) ?? [];
  if (digits === undefined) throw new RangeError(`intervalOf: ‘${degree}’ is no degree`);
  if (signs === '#') return `${digits}A`;
  const perfect = PERFECT.has(Number(digits));
  if (signs === '') return `${digits}${perfect ? 'P' : 'M'}`;
  if (signs === 'b') return `${digits}${perfect ? 'd' : 'm'}`;
  return `${digits}d`;
}

/** Semitones of an interval as `tonal` writes it: '3m' is 3. */
export const semitonesOf = (interval: string): number => Interval.semitones(interval);

/** Each interval once, the smallest first; of two of one size the lower degree. */
export const ascending = (intervals: Iterable<string>): string[] =>
  [...new Set(intervals)].sort(
    (a, b) => semitonesOf(a) - semitonesOf(b) || Number.parseInt(a, 10) - Number.parseInt(b, 10),
  );

/** Equal for equal sets of intervals, in whatever order. */
export const intervalKey = (intervals: Iterable<string>): string => ascending(intervals).join(' ');

const quality = ([name, degrees, more]: (typeof EVERYDAY)[number]): Quality =>
  Object.freeze({
    name,
    intervals: Object.freeze(ascending(degrees.split(' ').map(intervalOf))),
    ...more,
  });

/** What is offered where a symbol cannot be read, commonest first. */
export const EVERYDAY_QUALITIES: readonly Quality[] = EVERYDAY.map(quality);
/** Every quality, the everyday ones first. */
export const QUALITIES: readonly Quality[] = [...EVERYDAY_QUALITIES, ...RARER.map(quality)];

const byName = new Map(QUALITIES.map((one) => [one.name, one]));
const byIntervals = new Map(QUALITIES.toReversed().map((one) => [intervalKey(one.intervals), one]));

/** By its house spelling. */
export const qualityNamed = (name: string): Quality | undefined => byName.get(name);
/** By its intervals. */
export const qualityWith = (intervals: Iterable<string>): Quality | undefined =>
  byIntervals.get(intervalKey(intervals));
