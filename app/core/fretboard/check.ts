// Checks a shape that someone typed or clicked: is it a shape at all, and is it the chord it stands for?
import { listed } from '../base/listed.ts';
import type { Frets, Tuning } from '../model/chart.ts';
import { type ChordName, nameNotes } from '../harmony/naming.ts';
import { omissibleTones } from '../harmony/omission.ts';
import { namedStrings } from '../harmony/tunings.ts';
import { shownNote, shownSymbol } from '../harmony/note-names.ts';
import { spellNear } from '../harmony/notes.ts';
import type { SoundingChord } from '../model/chord.ts';
import { type Problem, type Result, fail, ok } from '../base/result.ts';
import type { Finger, Fret, StringNo } from '../base/units.ts';
import { canDamp } from './ease.ts';
import { easiestFingering } from './fingering.ts';
import { type Neck, USUAL_NECK } from './geometry.ts';
import { pitchesOf } from './capo.ts';
import { soundingPitches } from './shape.ts';

/** One dot put on the picture of the neck. Strings without a placement are muted. */
export interface Placement {
  readonly string: StringNo;
  readonly fret: Fret;
  readonly finger?: Finger;
}

/**
 * Frets from clicked placements. Fails with `two-notes-on-a-string` or `finger-in-two-places`; a
 * finger may lie on several strings of one fret when no string between them is open or stopped lower.
 */
export function fretsFromPlacements(placements: readonly Placement[]): Result<Frets> {
  const problems = [...doubledStrings(placements), ...splitFingers(placements)];
  if (problems.length > 0) return fail(...problems);
  return ok(
    [6, 5, 4, 3, 2, 1].map((string) => placements.find((p) => p.string === string)?.fret ?? null),
  );
}

function doubledStrings(placements: readonly Placement[]): Problem[] {
  return [6, 5, 4, 3, 2, 1].flatMap((string) => {
    const frets = placements.filter((p) => p.string === string).map((p) => p.fret);
    if (frets.length < 2) return [];
    return {
      code: 'two-notes-on-a-string',
      message: `String ${string} has notes at frets ${listed(frets)}, but a string sounds one note at a time.`,
      cure: 'Take all but one of them away.',
    };
  });
}

function splitFingers(placements: readonly Placement[]): Problem[] {
  const fingers = [...new Set(placements.flatMap((p) => p.finger ?? []))];
  return fingers.flatMap((finger) => {
    const held = placements.filter((p) => p.finger === finger);
    const places = held.map((p) => `string ${p.string} fret ${p.fret}`);
    if (held.length < 2 || canLieFlat(held, placements)) return [];
    return {
      code: 'finger-in-two-places',
      message: `${finger === 'T' ? 'The thumb' : `Finger ${finger}`} is in two places: ${listed(places)}.`,
      cure: 'Give each place a finger of its own, or lay one finger flat across strings of the same fret.',
    };
  });
}

function canLieFlat(held: readonly Placement[], all: readonly Placement[]): boolean {
  const fret = held[0]!.fret;
  const strings = held.map((p) => p.string);
  const [high, low] = [Math.min(...strings), Math.max(...strings)];
  const under = all.filter((p) => p.string > high && p.string < low);
  return held.every((p) => p.fret === fret) && fret > 0 && under.every((p) => p.fret >= fret);
}

/** A sounding string whose note is not in the chord. */
export interface Stranger {
  readonly string: StringNo;
  readonly note: string;
}

/** Notes are those that are fingered, above the capo. */
export function strangersIn(
  frets: Frets,
  chord: SoundingChord,
  tuning: Tuning,
): readonly Stranger[] {
  return pitchesOf(frets, namedStrings(tuning)).flatMap((midi, i) =>
    midi === null || chord.pitchClasses.includes(midi % 12)
      ? []
      : { string: 6 - i, note: shownNote(spellNear(midi % 12), chord.names) },
  );
}

/** Names the note and its string, in the chart's own names. */
export const strangerWords = ({ string, note }: Stranger, chord: SoundingChord): string =>
  `String ${string} sounds ${note}, which is not in ${shownSymbol(chord.symbol, chord.names)}.`;

export interface ShapeCheck {
  /** All that the shape may be called, best first; empty when it has no common name. */
  readonly names: readonly ChordName[];
  /** 'right': the chord, whole or without what players leave out. */
  readonly verdict: 'right' | 'incomplete' | 'wrong';
  /** Chord tones that do not sound, as labels, and those among them that players leave out anyway. */
  readonly missing: readonly string[];
  readonly leftOut: readonly string[];
  readonly extra: readonly Stranger[];
  /** The lowest note when it is not the chord's bass. */
  readonly otherBass?: string;
  /** Can a hand hold it? */
  readonly playable: boolean;
  /** What there is to say, most important first, as sentences. */
  readonly sentences: readonly string[];
}

/**
 * Names and notes are those that are fingered, above the capo. A shape without sounding strings is wrong.
 */
export function checkShape(
  frets: Frets,
  chord: SoundingChord,
  tuning: Tuning,
  neck: Neck = USUAL_NECK,
): ShapeCheck {
  const pitches = pitchesOf(frets, namedStrings(tuning));
  const heard = soundingPitches(pitches);
  const lacking = chord.tones.filter((tone) => !heard.some((m) => m % 12 === tone.pitchClass));
  const usual = omissibleTones(chord.tones.map((tone) => tone.interval))
    .filter((tone) => tone.kind !== 'fifth of a triad')
    .map((tone) => tone.label);
  const bassPc = heard.length > 0 ? Math.min(...heard) % 12 : chord.bassPc;
  const facts = {
    missing: lacking.map((t) => t.label).filter((label) => !usual.includes(label)),
    leftOut: lacking.map((t) => t.label).filter((label) => usual.includes(label)),
    extra: strangersIn(frets, chord, tuning),
    ...(bassPc === chord.bassPc ? {} : { otherBass: noteIn(chord, bassPc) }),
    playable: canDamp(frets) && easiestFingering(frets, neck) !== undefined,
  };
  const names = nameNotes(heard);
  return {
    names: names.ok ? names.value : [],
    verdict: verdictOf(facts),
    ...facts,
    sentences: sentencesFor(facts, chord),
  };
}

type Facts = Omit<ShapeCheck, 'names' | 'verdict' | 'sentences'>;

function verdictOf({ missing, extra, otherBass }: Facts): ShapeCheck['verdict'] {
  if (extra.length > 0) return 'wrong';
  return missing.length > 0 || otherBass !== undefined ? 'incomplete' : 'right';
}

/** A pitch class by the chord's own spelling where it is a chord tone. */
const noteIn = (chord: SoundingChord, pc: number): string =>
  shownNote(chord.tones.find((tone) => tone.pitchClass === pc)?.note ?? spellNear(pc), chord.names);

function sentencesFor(facts: Facts, chord: SoundingChord): string[] {
  const name = shownSymbol(chord.symbol, chord.names);
  const tone = (label: string) => {
    const found = chord.tones.find((t) => t.label === label)!;
    return `the ${label} (${shownNote(found.note, chord.names)})`;
  };
  const wrong = facts.extra.map((stranger) => strangerWords(stranger, chord));
  const lacks =
    facts.missing.length > 0 ? [`${name} lacks ${listed(facts.missing.map(tone))}.`] : [];
  const bass = facts.otherBass
    ? [`The lowest note is ${facts.otherBass}, not ${shownNote(chord.bass, chord.names)}.`]
    : [];
  const out =
    facts.leftOut.length > 0
      ? [`It leaves out ${listed(facts.leftOut.map(tone))}, as players often do.`]
      : [];
  const hand = facts.playable ? [] : ['No hand can hold it with four fingers.'];
  return [...wrong, ...lacks, ...bass, ...out, ...hand];
}
