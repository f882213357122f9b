// Finds every shape in which a hand can play a chord, and ranks them by the ease the model gives them.
import { Remembered } from '../base/remembered.ts';
import type { Frets, Tuning } from '../model/chart.ts';
import type { SoundingChord } from '../model/chord.ts';
import { namedStrings } from '../harmony/tunings.ts';
import { omissibleTones } from '../harmony/omission.ts';
import type { Fret, Midi, Millimetres, PitchClass } from '../base/units.ts';
import { type UnfingeredShape, easiestShape, shapeWith, unfingeredShape } from './ease.ts';
import { easiestCost, fingeringBy, spanAllowed } from './fingering.ts';
import { USUAL_NECK } from './geometry.ts';
import type { Neck } from './geometry.ts';
import { VARIANTS_SHOWN, grips, isAlike } from './grips.ts';
import type { Shape } from './shape.ts';
import { taughtShapes } from './taught.ts';
import { REACH } from './weights.ts';

export interface ShapeOptions {
  readonly neck: Neck;
  /** Highest fret to look at, counted from the capo. 1–24. */
  readonly highest: Fret;
  /** Widest reach between the lowest and highest stopped fret. */
  readonly span: Millimetres;
  /** Strummed shapes may have one muted string between sounding ones, plucked shapes two. */
  readonly played: 'strummed' | 'plucked';
  /** May the perfect fifth (and, in tall chords, inner tones) be left out? */
  readonly omission: 'allowed' | 'none';
  /** What a listed shape may have lowest where the symbol names no slash bass. */
  readonly bass: 'root' | 'root-or-fifth';
  /** Do the shapes that are taught come first, or does ease alone rank? */
  readonly order: 'taught' | 'ease';
  /** How many shapes to return at most. */
  readonly most: number;
}

export const USUAL_OPTIONS: ShapeOptions = {
  neck: USUAL_NECK,
  highest: 14,
  span: REACH.span,
  played: 'strummed',
  omission: 'allowed',
  bass: 'root',
  order: 'taught',
  most: 12,
};

/** What the search asks of every candidate, as bit sets over pitch classes. */
interface Wanted {
  readonly allowed: number;
  readonly required: number;
  readonly basses: number;
  readonly fewestStrings: number;
  readonly innerMutes: number;
}

function wantedOf(chord: SoundingChord, options: ShapeOptions): Wanted {
  const bit = (pc: PitchClass) => 1 << pc;
  const tones = chord.tones.reduce((set, tone) => set | bit(tone.pitchClass), 0);
  const omissible = options.omission === 'none' ? [] : omissibleIn(chord);
  const optional = omissible.reduce((set, pc) => set | bit(pc), 0);
  const slash = chord.bassPc !== chord.rootPc;
  const fifth = chord.tones.find((tone) => tone.interval === '5P');
  return {
    allowed: tones | bit(chord.bassPc),
    required: (tones & ~optional) | bit(chord.bassPc),
    basses: bit(chord.bassPc) | (fifth && !slash ? bit(fifth.pitchClass) : 0),
    fewestStrings: 3,
    innerMutes: options.played === 'strummed' ? 1 : 2,
  };
}

/** Thirds and the fifths of triads stay: without them another chord is heard. */
const omissibleIn = (chord: SoundingChord): PitchClass[] =>
  omissibleTones(chord.tones.map((tone) => tone.interval))
    .filter((tone) => tone.kind === 'fifth' || tone.kind === 'inner tone')
    .map((tone) => (chord.rootPc + tone.semitones) % 12);

/**
 * Playable shapes of a fingered chord, one for each grip: first those that are taught for it, the usual one leading,
 * then what the hand model finds, easiest first. Empty when no hand can play it in this tuning (ask
 * `nearestPlayable` then). The same grip with strings left out or let sound is listed in `also`, the fifth below the
 * root among them. Costs are comparisons; see `weights.ts`.
 */
export function shapesFor(
  chord: SoundingChord,
  tuning: Tuning,
  given: Partial<ShapeOptions> = {},
): readonly Shape[] {
  const options = { ...USUAL_OPTIONS, ...given };
  const found = foundShapes(chord, tuning, options);
  const taught = heldAsTaught(chord, tuning, options);
  const leading = taught.map((shape) => ({ ...shape, also: variantsAmong(shape, found) }));
  const rest = found.filter(({ frets }) => !taught.some((shape) => isAlike(shape.frets, frets)));
  return [...leading, ...rest].slice(0, options.most);
}

/**
 * The shapes that lead: those that are taught, or where there are none the easiest ones that the model finds. What
 * a path needs, without a search for every everyday chord; `also` is left empty for taught ones.
 */
export function leadingShapes(
  chord: SoundingChord,
  tuning: Tuning,
  given: Partial<ShapeOptions> = {},
): readonly Shape[] {
  const options = { ...USUAL_OPTIONS, ...given };
  const taught = heldAsTaught(chord, tuning, options);
  return taught.length > 0 ? taught : foundShapes(chord, tuning, options);
}

/** Taught shapes within the options; one that is only a part of an earlier one is a variant of it. */
function heldAsTaught(chord: SoundingChord, tuning: Tuning, options: ShapeOptions): Shape[] {
  if (options.order === 'ease') return [];
  return taughtShapes(chord, tuning)
    .filter(({ frets }) => frets.every((fret) => fret === null || fret <= options.highest))
    .flatMap(({ frets, presses, others, open }): Shape[] => {
      const sounding = unfingeredShape(frets, chord, tuning, options.neck);
      if (!sounding) return [];
      const fingering = fingeringBy(presses, frets, options.neck);
      const shape = shapeWith(sounding, fingering, chord, options.neck);
      return [{ ...shape, taught: { others, ...(open && { open }) } }];
    })
    .filter((shape, i, all) => !all.slice(0, i).some((one) => isAlike(one.frets, shape.frets)));
}

/** The same grip among what was found, last where it stands there as a variant of another one. */
function variantsAmong(shape: Shape, found: readonly Shape[]): Shape['also'] {
  const same = (frets: Frets): boolean => isAlike(frets, shape.frets);
  const [near, far] = [
    found.filter((one) => same(one.frets)),
    found.filter((one) => !same(one.frets)),
  ];
  const frets = [...near, ...far].flatMap((one) => [one.frets, ...one.also]).filter(same);
  return [...new Map(frets.map((f) => [f.join(), f])).values()]
    .filter((f) => f.join() !== shape.frets.join())
    .slice(0, VARIANTS_SHOWN);
}

/** Searches by chord and guitar: a chart has few of both and is drawn after every keystroke. */
const searches = new Remembered<string, readonly Shape[]>(256);

/** What the model finds, easiest first. The names of a chord do not matter, only what must sound. */
function foundShapes(
  chord: SoundingChord,
  tuning: Tuning,
  options: ShapeOptions,
): readonly Shape[] {
  const { neck, highest, span, played, omission, bass, most } = options;
  const tones = chord.tones.map(({ label, pitchClass }) => `${label}${pitchClass}`).join(' ');
  const asked = [highest, span, played, omission, bass, most, ...Object.values(neck)].join();
  const key = [tones, chord.rootPc, chord.bassPc, tuning.strings.join(), asked].join('|');
  return searches.of(key, () => search(chord, tuning, options));
}

function search(chord: SoundingChord, tuning: Tuning, options: ShapeOptions): readonly Shape[] {
  const { neck, most } = options;
  const found = soundingsFor(chord, tuning, options).sort((a, b) => a.atLeast - b.atLeast);
  const keep = Math.max(FEWEST_KEPT, most * KEPT_PER_SHAPE);
  const onBass = easiest(
    found.filter((sounding) => sounding.onBass),
    keep,
    neck,
  );
  const others = found.filter((sounding) => !sounding.onBass);
  const onFifth = easiest(others, keep / KEPT_PER_SHAPE, neck);
  const listed =
    options.bass === 'root'
      ? grips(onBass, onFifth, most)
      : grips(
          [...onBass, ...onFifth].sort((a, b) => a.ease - b.ease),
          [],
          most,
        );
  return listed.map(({ sounding, also }) => ({ ...easiestShape(sounding, chord, neck)!, also }));
}

/** All frets within the options that sound the chord and can be damped, before fingers are put on them. */
export function soundingsFor(
  chord: SoundingChord,
  tuning: Tuning,
  given: Partial<ShapeOptions> = {},
): UnfingeredShape[] {
  const options = { ...USUAL_OPTIONS, ...given };
  const found: UnfingeredShape[] = [];
  for (const frets of candidates(namedStrings(tuning), wantedOf(chord, options), options)) {
    const sounding = unfingeredShape(frets, chord, tuning, options.neck);
    if (sounding) found.push(sounding);
  }
  return found;
}

/** Shapes kept for grouping: this many for each one to be returned, and not fewer than some. */
const KEPT_PER_SHAPE = 3;
const FEWEST_KEPT = 36;

/** Frets with what they cost in their easiest fingering. */
interface Weighed {
  readonly frets: Frets;
  readonly sounding: UnfingeredShape;
  readonly ease: number;
}

/**
 * Puts fingers on candidates in the order of what they cost at least, until the rest cannot be easier
 * than what is kept: the same answer as fingering them all, at a fraction of the work.
 */
function easiest(sorted: readonly UnfingeredShape[], keep: number, neck: Neck): Weighed[] {
  const kept: Weighed[] = [];
  for (const sounding of sorted) {
    if (kept.length === keep && sounding.atLeast >= kept.at(-1)!.ease) break;
    const ease = sounding.cost + easiestCost(sounding.frets, neck);
    if (ease === Infinity) continue;
    const place = kept.findIndex((other) => other.ease > ease);
    if (place < 0 && kept.length === keep) continue;
    kept.splice(place < 0 ? kept.length : place, 0, { frets: sounding.frets, sounding, ease });
    if (kept.length > keep) kept.pop();
  }
  return kept;
}

/** Window by window along the neck: all frets whose lowest stopped one is `low`, and the all-open one. */
function candidates(strings: readonly Midi[], wanted: Wanted, options: ShapeOptions): Frets[] {
  const { neck, span, highest } = options;
  const found: Frets[] = [];
  const fits = strings.map((open) => fretsIn(open, wanted.allowed, highest));
  for (let low = 0; low <= highest; low++) {
    const perString = fits.map((frets) =>
      frets.filter((f) => f === 0 || (low > 0 && f >= low && spanAllowed(low, f, neck, span))),
    );
    if (low === 0 || perString.some((frets) => frets.includes(low))) {
      new Walk(strings, wanted, low, perString, found).run();
    }
  }
  return found;
}

/** Frets 0–highest of a string whose pitch class is allowed. */
function fretsIn(open: Midi, allowed: number, highest: Fret): Fret[] {
  return Array.from({ length: highest + 1 }, (_, fret) => fret).filter(
    (fret) => (allowed >> ((open + fret) % 12)) & 1,
  );
}

/** A muted string needs a stopping finger beside it; see `mutingCost`. */
const isStopped = (fret: Fret | null | undefined): boolean => typeof fret === 'number' && fret > 0;

/** Depth-first over the strings from 6 to 1; no note may lie below the first, which is the bass. */
class Walk {
  readonly #frets: (Fret | null)[] = [null, null, null, null, null, null];
  readonly #strings: readonly Midi[];
  readonly #wanted: Wanted;
  readonly #low: Fret;
  readonly #perString: readonly (readonly Fret[])[];
  readonly #found: Frets[];

  constructor(
    strings: readonly Midi[],
    wanted: Wanted,
    low: Fret,
    perString: readonly (readonly Fret[])[],
    found: Frets[],
  ) {
    this.#strings = strings;
    this.#wanted = wanted;
    this.#low = low;
    this.#perString = perString;
    this.#found = found;
  }

  run(): void {
    this.#step(0, 0, 0, 0, 0, 0, this.#low === 0);
  }

  /**
   * Of the strings decided so far: pitch classes as bits, how many sound, muted ones between them, muted ones since
   * the last sounding one, the lowest pitch. Plain numbers, since this runs some ten thousand times a chord.
   */
  #step(
    index: number,
    pcs: number,
    count: number,
    inner: number,
    gap: number,
    lowest: Midi,
    touches: boolean,
  ): void {
    if (index === 6) {
      this.#take(pcs, count, touches);
      return;
    }
    this.#frets[index] = null;
    const gapNow = count > 0 ? gap + 1 : 0;
    this.#step(index + 1, pcs, count, inner, gapNow, lowest, touches);
    const muted = inner + gap;
    if (muted > this.#wanted.innerMutes) return;
    const damped = gap === 0 || isStopped(this.#frets[index - gap - 1]);
    for (const fret of this.#perString[index]!) {
      if (!damped && fret === 0) continue;
      const pitch = this.#strings[index]! + fret;
      const bit = 1 << (pitch % 12);
      if (count === 0 ? !(bit & this.#wanted.basses) : pitch < lowest) continue;
      this.#frets[index] = fret;
      const low = count === 0 ? pitch : lowest;
      this.#step(index + 1, pcs | bit, count + 1, muted, 0, low, touches || fret === this.#low);
    }
    this.#frets[index] = null;
  }

  #take(pcs: number, count: number, touches: boolean): void {
    const { required, fewestStrings } = this.#wanted;
    if (touches && count >= fewestStrings && (required & ~pcs) === 0) {
      this.#found.push([...this.#frets]);
    }
  }
}
