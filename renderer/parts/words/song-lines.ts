// The song as lines to sing from: chords over their syllables, and where in time each of them stands.
import { toNumber } from '../../../app/core/base/rational.ts';
import { sungPlaces } from '../../../app/core/chart/form/sung-places.ts';
import { shownChord } from '../../../app/core/harmony/print.ts';
import { barLength, beatsOf } from '../../../app/core/rhythm/meter.ts';
import type { PlayedBar } from '../../../app/core/model/unit.ts';
import type { Playhead } from '../../../app/core/timeline/place.ts';

/** What stands at one moment: a syllable, a chord, or both. */
export interface Token {
  readonly bar: number;
  /** Quarter notes from the start of the bar. */
  readonly at: number;
  /** '' where nothing is sung. */
  readonly text: string;
  /** The word goes on in the next token. */
  readonly joined: boolean;
  readonly chord?: string;
}

export interface SongLine {
  readonly section: string;
  /** First and last bar of the unit, from 0. */
  readonly from: number;
  readonly to: number;
  readonly tokens: readonly Token[];
}

/** Where in the words of a song the music is. */
export interface SungPlace {
  readonly lines: readonly SongLine[];
  /** Index of the line that is played. */
  readonly line: number;
  /** Index of the token in it that sounds; −1 before the first one. */
  readonly token: number;
}

/** Bars on a line, and about how much text one holds at the size that is read from two metres. */
const MOST_BARS = 4;
const MOST_LETTERS = 36;

/** Lines break with sections and after four bars; four that are too long are halved, so that no last word stands alone. */
export function songLines(bars: readonly PlayedBar[]): readonly SongLine[] {
  const indices = bars.map((_, index) => index);
  const groups = indices.reduce<number[][]>((made, index) => {
    const last = made.at(-1);
    if (last && goesOn(last, bars, index)) last.push(index);
    else made.push([index]);
    return made;
  }, []);
  return groups.flatMap((group) => halved(group, bars)).map((line) => lineOf(line, bars));
}

/** Is this bar of the same four? A pickup is counted to none. */
function goesOn(group: readonly number[], bars: readonly PlayedBar[], index: number): boolean {
  const [before, bar] = [bars[index - 1]!, bars[index]!];
  const same = before.section === bar.section && before.time === bar.time;
  const full = group.filter((i) => !bars[i]!.pickup).length;
  return same && full < MOST_BARS;
}

function halved(group: readonly number[], bars: readonly PlayedBar[]): (readonly number[])[] {
  const letters = group.reduce((sum, i) => sum + lettersOf(tokensOf(bars[i]!, i)), 0);
  if (letters <= MOST_LETTERS || group.length === 1) return [group];
  const middle = Math.ceil(group.length / 2);
  return [group.slice(0, middle), group.slice(middle)].flatMap((half) => halved(half, bars));
}

function lineOf(indices: readonly number[], bars: readonly PlayedBar[]): SongLine {
  const [first = 0] = indices;
  const tokens = indices.flatMap((i) => tokensOf(bars[i]!, i));
  return {
    ...{ section: bars[first]!.section, from: first, to: indices.at(-1) ?? first },
    tokens: opened(tokens, bars[first]!, first),
  };
}

const lettersOf = (tokens: readonly Token[]): number =>
  tokens.reduce((sum, { text, chord = '' }) => sum + Math.max(text.length, chord.length) + 1, 0);

/** A line that begins under a chord held over says which one it is. */
function opened(tokens: readonly Token[], bar: PlayedBar, index: number): readonly Token[] {
  const first = tokens[0];
  if (!bar.held || (first?.chord !== undefined && first.at === 0)) return tokens;
  const chord = `(${shownChord(bar.held)})`;
  if (first && first.chord === undefined) return [{ ...first, chord }, ...tokens.slice(1)];
  return [{ bar: index, at: 0, text: '', joined: false, chord }, ...tokens];
}

interface Sung {
  readonly at: number;
  readonly text: string;
  readonly joined: boolean;
}

function tokensOf(bar: PlayedBar, index: number): readonly Token[] {
  const sung = syllablesOf(bar);
  const chords = bar.chords.map(({ at, chord }) => ({
    at: toNumber(at),
    chord: shownChord(chord),
  }));
  const carried = sung.map((syllable, i): Token => {
    // A chord is written over the first syllable that is sung under it.
    const before = sung[i - 1]?.at ?? -1;
    const own = chords.filter(({ at }) => at > before + 1e-9 && at <= syllable.at + 1e-9).at(-1);
    return { bar: index, ...syllable, ...(own && { chord: own.chord }) };
  });
  const placed = new Set(carried.map(({ chord, at }) => chordKey(chords, chord, at)));
  const alone = chords
    .filter((chord) => !placed.has(keyOf(chord)))
    .map(({ at, chord }): Token => ({ bar: index, at, text: '', joined: false, chord }));
  return [...carried, ...alone].toSorted((a, b) => a.at - b.at);
}

interface PlacedChord {
  readonly at: number;
  readonly chord: string;
}

const keyOf = ({ at, chord }: PlacedChord): string => `${at} ${chord}`;

/** Which of the bar's chords a token carries. */
function chordKey(chords: readonly PlacedChord[], chord: string | undefined, at: number): string {
  const own = chords.findLast((c) => c.chord === chord && c.at <= at + 1e-9);
  return own ? keyOf(own) : '';
}

function syllablesOf({ words = [], length }: PlayedBar): readonly Sung[] {
  const places = sungPlaces(words, length);
  return words.map(({ text, joined }, i): Sung => {
    return { at: toNumber(places[i]!), text, joined: joined === true };
  });
}

/** How far into its bar the heard moment lies, in quarter notes. */
export function quartersInto(bar: PlayedBar, place: Pick<Playhead, 'beat' | 'beatShare'>): number {
  const beats = beatsOf(bar.meter);
  const beat = beats[Math.min(place.beat, beats.length) - 1] ?? beats[0]!;
  const offset = bar.pickup ? toNumber(barLength(bar.meter)) - toNumber(bar.length) : 0;
  return toNumber(beat.at) + place.beatShare * toNumber(beat.length) - offset;
}

/** Index of the last token that has begun, or −1. */
export const tokenAt = (line: SongLine, bar: number, quarters: number): number =>
  line.tokens.findLastIndex(
    (token) => token.bar < bar || (token.bar === bar && token.at <= quarters + 1e-6),
  );

/** The index of the line that is sung in a bar, or comes after it; 0 after the last. @param bar index into the unit */
export const lineAt = (lines: readonly SongLine[], bar: number): number =>
  Math.max(
    0,
    lines.findIndex((line) => bar <= line.to),
  );

export interface ShownWord {
  /** With its space behind it, or a hyphen where the line ends inside a word. */
  readonly text: string;
  /** Of its token in the line. */
  readonly index: number;
}

/** What is sung on a line, without its chords. */
export function shownWords(line: SongLine | undefined): readonly ShownWord[] {
  const sung = (line?.tokens ?? []).flatMap(({ text, joined }, index) =>
    text === '' ? [] : [{ text, joined, index }],
  );
  return sung.map(({ text, joined, index }, i) => {
    const behind = joined ? (i === sung.length - 1 ? '-' : '') : ' ';
    return { text: `${text}${behind}`, index };
  });
}
