// Chord symbols to and from MusicXML 4.0: root, kind, bass and degrees (W3C MusicXML 4.0, kind-value and degree).
import { Remembered } from '../../base/remembered.ts';
import { printNote } from '../../harmony/notes.ts';
import type { NoteNames, SoundingChord } from '../../model/chord.ts';
import { readQuality } from '../../harmony/quality.ts';
import {
  type MusicXmlKind,
  type Quality,
  QUALITIES,
  semitonesOf,
} from '../../harmony/vocabulary.ts';
import { readChord } from '../../harmony/read.ts';
import type { Key } from '../../harmony/key.ts';
import { noteOf, rootOf } from './harmony-root.ts';
import { type XmlElement, element } from './xml-write.ts';
import { type XmlNode, childAt, childrenOf, numberAt, textAt } from './xml-read.ts';

/** Qualities that the standard has a kind for, simplest first. */
const KINDS: readonly (Quality & { readonly kind: MusicXmlKind })[] = QUALITIES.flatMap((one) =>
  one.kind ? [{ ...one, kind: one.kind }] : [],
);

interface Degree {
  readonly value: number;
  readonly alter: number;
  readonly type: 'add' | 'alter' | 'subtract';
}

const degreeOf = (interval: string): number => Number.parseInt(interval, 10);

/** What an added degree is altered from: major and perfect intervals, but a minor seventh (the standard's rule). */
const DOMINANT: Readonly<Record<number, number>> = {
  1: 0,
  2: 2,
  3: 4,
  4: 5,
  5: 7,
  6: 9,
  7: 10,
  8: 12,
  9: 14,
  10: 16,
  11: 17,
  12: 19,
  13: 21,
};

/** Far more symbols than charts have. */
const written = new Remembered<string, readonly XmlElement[]>(1000);

/**
 * root, kind, bass and degree elements of a symbol; "N.C." is the kind "none". German names of notes go along as
 * the printed text of the step (W3C MusicXML 4.0, root-step).
 */
export function chordElements(symbol: string, names?: NoteNames): readonly XmlElement[] {
  const key = names === undefined ? symbol : `${names} ${symbol}`;
  return written.of(key, () => Object.freeze(freshElements(symbol, names)));
}

function freshElements(symbol: string, names: NoteNames | undefined): readonly XmlElement[] {
  const read = readChord(symbol);
  if (!read.ok || read.value.kind === 'silence') {
    return [
      element('root', [element('root-step', 'C')]),
      element('kind', 'none', { text: symbol }),
    ];
  }
  const chord = read.value;
  const { kind, degrees } = kindOf(chord);
  return [
    element('root', noteElements('root', chord.root, names)),
    element('kind', kind, { text: chord.suffix }),
    ...(chord.bass === chord.root
      ? []
      : [element('bass', noteElements('bass', chord.bass, names))]),
    ...degrees.map(degreeElement),
  ];
}

function noteElements(
  prefix: 'root' | 'bass',
  note: string,
  names: NoteNames | undefined,
): XmlElement[] {
  const alter = note.split('#').length - note.slice(1).split('b').length;
  return [
    element(`${prefix}-step`, note[0]!, { text: names && printNote(note, names) }),
    ...(alter === 0 ? [] : [element(`${prefix}-alter`, alter, { 'print-object': names && 'no' })]),
  ];
}

/** The kind's text already shows everything, so that the degrees are not printed again. */
const degreeElement = ({ value, alter, type }: Degree): XmlElement =>
  element(
    'degree',
    [element('degree-value', value), element('degree-alter', alter), element('degree-type', type)],
    { 'print-object': 'no' },
  );

/** The kind that needs the fewest degrees to become the chord. */
function kindOf(chord: SoundingChord): { kind: string; degrees: readonly Degree[] } {
  const named = KINDS.find(({ name }) => name === chord.quality);
  if (named) return { kind: named.kind, degrees: [] };
  const intervals = chord.tones.map((tone) => tone.interval);
  const options = KINDS.map(({ kind, intervals: base }) => ({
    kind,
    degrees: degreesFrom(base, intervals),
  }));
  return options.toSorted((a, b) => a.degrees.length - b.degrees.length)[0]!;
}

function degreesFrom(base: readonly string[], wanted: readonly string[]): Degree[] {
  const missing = base.filter((interval) => !wanted.includes(interval));
  const extra = wanted.filter((interval) => !base.includes(interval));
  const altered = extra.flatMap((interval): Degree[] => {
    const from = missing.find((m) => degreeOf(m) === degreeOf(interval));
    const value = degreeOf(interval);
    if (!from) {
      return [{ value, alter: semitonesOf(interval) - DOMINANT[value]!, type: 'add' }];
    }
    missing.splice(missing.indexOf(from), 1);
    return [{ value, alter: semitonesOf(interval) - semitonesOf(from), type: 'alter' }];
  });
  const taken = missing.map((interval): Degree => ({
    value: degreeOf(interval),
    alter: 0,
    type: 'subtract',
  }));
  return [...altered, ...taken];
}

export interface ReadSymbol {
  readonly symbol: string;
  /** Could the whole harmony be said by the symbol? */
  readonly exact: boolean;
}

/** The symbol of a harmony element, or undefined where it names no root; steps are those of the key. */
export function symbolOf(harmony: XmlNode, key?: Key): ReadSymbol | undefined {
  const kind = textAt(harmony, 'kind') ?? 'other';
  if (kind === 'none') return { symbol: 'N.C.', exact: true };
  const root = rootOf(harmony, key);
  if (!root) return undefined;
  const bass = noteOf(childAt(harmony, 'bass'), 'bass');
  const suffix = KINDS.find((one) => one.kind === kind)?.name;
  const text = childAt(harmony, 'kind')?.attributes.text;
  const degrees = childrenOf(harmony, 'degree').flatMap(readDegree);
  const built = suffix === undefined ? undefined : `${suffix}${degrees.map(degreeWords).join('')}`;
  const wanted = suffix === undefined ? undefined : applyDegrees(suffix, degrees);
  const said = [text, built].find((o) => o !== undefined && says(`${root}${o}`, wanted));
  const exact = said ?? (wanted && suffixOf(wanted));
  const plain = `${root}${exact ?? suffix ?? ''}`;
  const lowest = bass ?? inverted(plain, numberAt(harmony, 'inversion') ?? 0);
  const symbol = lowest && lowest !== root ? `${plain}/${lowest}` : plain;
  // A harmony may stack several chords on each other.
  const single = childrenOf(harmony, 'kind').length <= 1;
  return { symbol, exact: exact !== undefined && single };
}

/** The lowest note of an inversion that names no bass: the third in the first, the fifth in the second. */
function inverted(symbol: string, inversion: number): string | undefined {
  const chord = readChord(symbol);
  return chord.ok && chord.value.kind === 'chord' ? chord.value.tones[inversion]?.note : undefined;
}

function readDegree(node: XmlNode): Degree[] {
  const value = numberAt(node, 'degree-value');
  const type = textAt(node, 'degree-type');
  const alter = numberAt(node, 'degree-alter') ?? 0;
  const known = type === 'add' || type === 'alter' || type === 'subtract';
  if (value === undefined || !known || DOMINANT[value] === undefined) return [];
  return [{ value, alter: Math.round(alter), type }];
}

const signOf = (alter: number): string => (alter > 0 ? '#'.repeat(alter) : 'b'.repeat(-alter));

/** "add9", "b5", "#9", "no3"; a major seventh is added above the minor one of the standard. */
function degreeWords({ value, alter, type }: Degree): string {
  if (type === 'subtract') return `no${value}`;
  if (type === 'add' && value === 7) return alter === 1 ? '(maj7)' : 'add7';
  return type === 'add' && alter === 0 ? `add${value}` : `(${signOf(alter)}${value})`;
}

/** Semitones above the root that a kind with its degrees has; the octave does not matter. */
function applyDegrees(suffix: string, degrees: readonly Degree[]): ReadonlySet<number> {
  let tones = readQuality(suffix)!.intervals.map((interval) => ({
    degree: degreeOf(interval),
    semitones: semitonesOf(interval),
  }));
  for (const { value, alter, type } of degrees) {
    const before = tones.find((tone) => tone.degree === value);
    if (type !== 'add') tones = tones.filter((tone) => tone !== before);
    if (type === 'subtract') continue;
    const from = type === 'alter' && before ? before.semitones : DOMINANT[value]!;
    tones.push({ degree: value, semitones: from + alter });
  }
  return new Set(tones.map(({ semitones }) => ((semitones % 12) + 12) % 12));
}

/** The simplest suffix of the vocabulary that sounds so. */
function suffixOf(wanted: ReadonlySet<number>): string | undefined {
  return QUALITIES.find(({ intervals }) => {
    const tones = new Set(intervals.map((interval) => semitonesOf(interval) % 12));
    return tones.size === wanted.size && [...tones].every((tone) => wanted.has(tone));
  })?.name;
}

/** Can the symbol be read, and does it sound as wanted (if that is known)? */
function says(symbol: string, wanted: ReadonlySet<number> | undefined): boolean {
  const read = readChord(symbol);
  if (!read.ok || read.value.kind === 'silence' || /[\s[\]{}|:,=]/.test(symbol)) return false;
  if (!wanted) return true;
  const tones = new Set(read.value.tones.map((tone) => tone.semitones % 12));
  return tones.size === wanted.size && [...tones].every((tone) => wanted.has(tone));
}
