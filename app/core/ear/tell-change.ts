// From what the network heard of a change to what is said of it: right, the old chord, dead strings, another chord.
import type { Midi, PitchClass, Share, StringNo } from '../base/units.ts';
import { fingeredPc } from '../fretboard/capo.ts';
import { nameNotes } from '../harmony/naming.ts';
import type { ChangeHeard } from '../model/pass.ts';
import type { ExpectedChange, ExpectedChord } from './model.ts';
import type { Impression } from './network/network.ts';
import { LOWEST_PITCH } from './network/shape.ts';

export type ToldChord = Pick<
  ChangeHeard,
  'chord' | 'heard' | 'dead' | 'fingers' | 'extra' | 'ringing' | 'confidence'
>;

/** Log odds of "right": from the first on it is right, below the second wrong; chosen on validation guitars. */
const RIGHT = -0.6;
const WRONG = -2;
/** Where only the chord's name is known, less can be held against the player. */
const UNKNOWN_SHAPE = 1.5;
/** From these log odds on a pitch was struck, a string that should sound was not, and a pitch too many is named. */
const STRUCK = 0;
const DEAD = -2;
const EXTRA = 2;

/** What was heard where a chord was due, and how sure the ear is. @param change one that has a chord */
export function tellChange(change: ExpectedChange, heard: Impression): ToldChord {
  const { facts } = heard;
  const right = oddsOfRight(change, heard);
  const confidence = probability(Math.abs(right - (RIGHT + WRONG) / 2));
  if (facts.dead > 0 && right < WRONG) return { chord: 'muted', confidence };
  if (right >= RIGHT) return { chord: 'right', confidence };
  if (right > WRONG) return { chord: 'unsure', confidence: 1 - confidence };
  if (change.from && facts.held > 0) return { chord: 'held', confidence };
  return { ...wrongly(change.to!, heard), confidence };
}

const oddsOfRight = ({ to }: ExpectedChange, { facts }: Impression): number =>
  facts.right + (to?.strings ? 0 : UNKNOWN_SHAPE);

/** Is it likely enough that the chord which was due sounded? */
export const isRight = (change: ExpectedChange, heard: Impression): boolean =>
  oddsOfRight(change, heard) >= RIGHT;

/** Probability of each pitch class, C first. */
export function pitchClassesOf({ struck }: Impression): Share[] {
  const loudest = new Array<number>(12).fill(-Infinity);
  struck.forEach((odds, p) => {
    loudest[(LOWEST_PITCH + p) % 12] = Math.max(odds, loudest[(LOWEST_PITCH + p) % 12]!);
  });
  return loudest.map(probability);
}

const probability = (odds: number): Share => 1 / (1 + Math.exp(-odds));

function wrongly(to: ExpectedChord, heard: Impression): Omit<ToldChord, 'confidence'> {
  const foreign = struckPitches(heard, EXTRA).filter((m) => !to.pitchClasses.includes(m % 12));
  const dead = deadStrings(to, heard);
  const slips = dead.length > 0 ? { dead, ...holding(to, dead) } : {};
  if (foreign.length === 0) {
    const gripped = grippedInstead(to, dead, heard);
    if (gripped !== undefined) return { chord: 'other', heard: gripped };
    return { chord: 'muted', ...slips };
  }
  const extra = foreign.length === 1 ? tooMany(foreign[0]!, to, dead) : {};
  const name = nameOf(struckPitches(heard, STRUCK), to);
  return { chord: 'other', ...(name !== undefined && { heard: name }), ...slips, ...extra };
}

const struckPitches = ({ struck }: Impression, least: number): readonly Midi[] =>
  [...struck].flatMap((odds, p) => (odds > least ? [LOWEST_PITCH + p] : []));

/** Strings of the shape that were not struck: only those of which it is sure. */
function deadStrings({ strings }: ExpectedChord, { struck }: Impression): readonly StringNo[] {
  return (strings ?? []).flatMap((midi, i) => {
    const odds = midi === null ? undefined : struck[midi - LOWEST_PITCH];
    return odds !== undefined && odds < DEAD ? [(6 - i) as StringNo] : [];
  });
}

/** The fingers on these strings, where the shape's are known; open ones need none. */
function holding(
  { fingers, open = [], strings = [] }: ExpectedChord,
  dead: readonly StringNo[],
): Pick<ToldChord, 'fingers'> {
  if (fingers) return { fingers: dead.map((string) => fingers[6 - string] ?? null) };
  const isOpen = dead.every((string) => strings[6 - string] === open[6 - string]);
  return dead.length > 0 && isOpen ? { fingers: dead.map(() => null) } : {};
}

/** A finger is put so many frets wrong at most. */
const ASTRAY = 4;

/** The chord that sounded where one string was not dead but sounded another tone of the chord: G for G7. */
function grippedInstead(
  to: ExpectedChord,
  dead: readonly StringNo[],
  heard: Impression,
): string | undefined {
  const { strings = [] } = to;
  const [alone] = dead;
  const due = dead.length === 1 ? strings[6 - alone!] : undefined;
  if (due === undefined || due === null) return undefined;
  const astray = struckPitches(heard, EXTRA).some(
    (midi) => !strings.includes(midi) && Math.abs(midi - due) <= ASTRAY,
  );
  const name = astray ? nameOf(struckPitches(heard, STRUCK), to) : undefined;
  return name ===
    nameOf(
      strings.filter((midi) => midi !== null),
      to,
    )
    ? undefined
    : name;
}

/**
 * A pitch that sounded too many, and the open string that it comes from: one that the shape leaves out, or the one that
 * should be held down and did not sound as it should.
 */
function tooMany(
  pitch: Midi,
  { lift, open = [], strings = [] }: ExpectedChord,
  dead: readonly StringNo[],
): Pick<ToldChord, 'extra' | 'ringing'> {
  const isOpen = (is: (string: number) => boolean): StringNo | undefined => {
    const i = open.findIndex((midi, string) => midi === pitch && is(string));
    return i < 0 ? undefined : ((6 - i) as StringNo);
  };
  const [alone] = dead.length === 1 ? dead : [];
  const unheld = isOpen((string) => 6 - string === alone);
  if (dead.length > 0 && unheld === undefined) return {};
  const ringing = unheld ?? isOpen((string) => strings[string] === null);
  return { extra: fingered(pitch, lift), ...(ringing !== undefined && { ringing }) };
}

/** As it would be fingered; undefined where it has no common name. */
function nameOf(pitches: readonly Midi[], { lift }: ExpectedChord): string | undefined {
  const named = nameNotes(pitches.map((m) => fingered(m, lift)));
  return named.ok ? named.value[0]?.symbol : undefined;
}

const fingered = (midi: Midi, lift: number): Midi =>
  midi - lift >= 0 ? midi - lift : fingeredPc((midi % 12) as PitchClass, lift);
