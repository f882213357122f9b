// Names every sensible chord that a handful of sounding notes can be, best first.
import { madeOnce } from '../base/remembered.ts';
import { Interval } from 'tonal';
import { fail, ok } from '../base/result.ts';
import type { Result } from '../base/result.ts';
import type { Midi, PitchClass } from '../base/units.ts';
import type { NoteName } from '../model/chord.ts';
import { type PcSet, pcSet, rotateSet } from './pc-set.ts';
import { spellIn } from './key.ts';
import type { Key } from './key.ts';
import { fifthsOf, spellNear } from './notes.ts';
import { QUALITIES } from './vocabulary.ts';
import { omissibleTones } from './omission.ts';
import type { Omissible } from './omission.ts';

export interface ChordName {
  /** Readable again with `readChord`; ASCII accidentals. */
  readonly symbol: string;
  readonly rootPc: PitchClass;
  readonly quality: string;
  /** Tones of the chord that do not sound, as labels: ['5']. */
  readonly missing: readonly string[];
  /** How far-fetched the name is; 0 is a plain triad in root position. Ours, for ranking only. */
  readonly strain: number;
}

/**
 * What makes a name far-fetched. Ours: set so that root position, few tones and nothing left out
 * come first; the reference tests rank no names, they only ask that the right one is among them.
 */
const STRAIN = {
  tone: 0.5,
  alteration: 0.6,
  missingFifth: 0.6,
  missingThird: 1.6,
  missingOther: 0.9,
  inversion: 1.5,
  foreignBass: 2.6,
  odd: 1.2,
  missingRoot: 3,
} as const;

interface NamedSet {
  readonly name: string;
  readonly set: PcSet;
  /** Tones that players leave out. */
  readonly optional: readonly Omissible[];
  readonly strain: number;
  readonly minor: boolean;
  /** May another player have the root? Only where third and seventh still tell the chord. */
  readonly rootless: boolean;
}

/**
 * Guitarists also call the whole stack of thirds an 11th or 13th; the vocabulary's 11th has no third and
 * its 13ths have no 11th.
 */
const WHOLE_STACKS = [
  { name: '11', intervals: ['1P', '3M', '5P', '7m', '9M', '11P'] },
  { name: '13', intervals: ['1P', '3M', '5P', '7m', '9M', '11P', '13M'] },
  { name: 'maj13', intervals: ['1P', '3M', '5P', '7M', '9M', '11P', '13M'] },
  { name: 'm13', intervals: ['1P', '3m', '5P', '7m', '9M', '11P', '13M'] },
];

const OMISSION_STRAIN: Readonly<Record<Omissible['kind'], number>> = {
  'fifth of a triad': STRAIN.missingThird,
  fifth: STRAIN.missingFifth,
  third: STRAIN.missingThird,
  'inner tone': STRAIN.missingOther,
};

function namedSet(quality: {
  readonly name: string;
  readonly intervals: readonly string[];
}): NamedSet {
  const { name, intervals } = quality;
  const altered = intervals.filter((i) => /^(?:5[dA]|9[mA]|11A|13m|6m)$/.test(i)).length;
  const odd = /b6|sus24|no5|m#5/.test(name) ? STRAIN.odd : 0;
  return {
    name,
    set: pcSet(intervals.map((i) => Interval.semitones(i) % 12)),
    optional: omissibleTones(intervals),
    strain: (intervals.length - 3) * STRAIN.tone + altered * STRAIN.alteration + odd,
    minor: intervals.includes('3m'),
    rootless: intervals.some((i) => i.startsWith('3')) && intervals.some((i) => /^7[mM]$/.test(i)),
  };
}

const namedSets = madeOnce(() => [...QUALITIES, ...WHOLE_STACKS].map(namedSet));

/** Notes that a quality lacks, or undefined when one of them cannot be left out. */
function omission(
  quality: NamedSet,
  sounding: PcSet,
): { labels: string[]; strain: number } | undefined {
  if (sounding & ~quality.set) return undefined;
  let lacking = quality.set & ~sounding;
  const labels: string[] = [];
  let strain = 0;
  for (const tone of quality.optional) {
    const bit = 1 << tone.semitones;
    if (!(lacking & bit)) continue;
    lacking &= ~bit;
    labels.push(tone.label);
    strain += OMISSION_STRAIN[tone.kind];
  }
  return lacking === 0 ? { labels, strain } : undefined;
}

/** Without a key a root is spelled as in its own key with the fewest signs. */
const rootName = (pc: PitchClass, minor: boolean, key?: Key): NoteName =>
  key ? spellIn(key, pc) : spellNear(pc, minor ? 2.5 : 0.5);

function namesOnRoot(root: PitchClass, all: PcSet, bass: PitchClass, key?: Key): ChordName[] {
  const above = rotateSet(all, root);
  const bassBit = 1 << ((bass - root + 12) % 12);
  if (!(above & 1)) return rootlessNames(root, above | 1, key);
  return namedSets().flatMap((quality) => {
    const inside = omission(quality, above);
    const outside = inside || bass === root ? undefined : omission(quality, above & ~bassBit);
    const fit = inside ?? outside;
    if (!fit) return [];
    const bassStrain = bass === root ? 0 : inside ? STRAIN.inversion : STRAIN.foreignBass;
    const symbol = rootName(root, quality.minor, key) + quality.name;
    return {
      symbol: bass === root ? symbol : `${symbol}/${spellBass(root, bass, quality.minor, key)}`,
      rootPc: root,
      quality: quality.name,
      missing: fit.labels,
      strain: quality.strain + fit.strain + bassStrain,
    };
  });
}

/** The bass player has the root: named without a slash, whatever sounds lowest here. */
function rootlessNames(root: PitchClass, withRoot: PcSet, key?: Key): ChordName[] {
  return namedSets().flatMap((quality) => {
    const fit = quality.rootless ? omission(quality, withRoot) : undefined;
    if (!fit) return [];
    return {
      symbol: rootName(root, quality.minor, key) + quality.name,
      rootPc: root,
      quality: quality.name,
      missing: ['1', ...fit.labels],
      strain: quality.strain + fit.strain + STRAIN.missingRoot,
    };
  });
}

/** A slash bass is spelled within seven fifths of its root: F♯/C♯, B♭m/D♭. */
function spellBass(root: PitchClass, bass: PitchClass, minor: boolean, key?: Key): NoteName {
  if (key) return spellIn(key, bass);
  const near = spellNear(bass, fifthsOf(rootName(root, minor)) + 0.5);
  return near.length > 2 ? spellNear(bass) : near;
}

/**
 * All sensible names of sounding notes, best first; the lowest note is the bass. Octave and order of
 * the others do not matter. Fails with `too-few-notes` below two pitch classes and `no-name` when no
 * known chord has these notes.
 */
export function nameNotes(notes: readonly Midi[], key?: Key): Result<readonly ChordName[]> {
  const all = pcSet(notes.map((midi) => midi % 12));
  if ((all & (all - 1)) === 0) return fail(tooFew);
  const bass = Math.min(...notes) % 12;
  const names = Array.from({ length: 12 }, (_, root) => namesOnRoot(root, all, bass, key))
    .flat()
    .sort((a, b) => a.strain - b.strain || a.symbol.length - b.symbol.length);
  const first = new Map(names.toReversed().map((name) => [name.symbol, name]));
  const distinct = names.filter((name) => first.get(name.symbol) === name);
  return distinct.length > 0 ? ok(distinct) : fail(noName);
}

const tooFew = {
  code: 'too-few-notes',
  message: 'Fewer than two different notes sound, which is no chord.',
  cure: 'Let two or more different notes sound.',
};
const noName = {
  code: 'no-name',
  message: 'These notes together have no common chord name.',
  cure: 'Check each note, or write the chord that you mean and keep the shape.',
};
