// Reads a chord symbol as guitarists write it, and offers the nearest readable one when it cannot.
import { Interval, Note } from 'tonal';
import { fail, ok } from '../base/result.ts';
import type { Result } from '../base/result.ts';
import type { Chord, ChordTone, NoChord, NoteName, SoundingChord } from '../model/chord.ts';
import { nearestSymbol } from './nearest.ts';
import { pitchClassOf, toAscii } from './notes.ts';
import { intervalLabel } from './omission.ts';
import { pcSet } from './pc-set.ts';
import { readQuality } from './quality.ts';

const SILENCE = /^n\.?\s?c\.?$/i;
const ROOT = /^([A-G](?:##|bb|#|b)?)(.*)$/;
const SLASH_BASS = /^(.*)\/\s*([A-G](?:##|bb|#|b)?)$/;

/** A symbol cut in three; `suffix` is as typed in ASCII. Undefined without a root letter A–G. */
export function splitSymbol(
  symbol: string,
): { root: NoteName; suffix: string; bass?: NoteName } | undefined {
  const whole = ROOT.exec(toAscii(symbol.trim()));
  if (!whole) return undefined;
  const [, root, rest] = whole;
  const slash = SLASH_BASS.exec(rest!);
  return slash
    ? { root: root!, suffix: slash[1]!, bass: slash[2]! }
    : { root: root!, suffix: rest! };
}

function toneOf(root: NoteName, interval: string): ChordTone {
  const note = Note.transpose(root, interval);
  return {
    interval,
    label: intervalLabel(interval),
    semitones: Interval.semitones(interval),
    note,
    pitchClass: pitchClassOf(note),
  };
}

type ReadableChord = SoundingChord | NoChord;

const cache = new Map<string, ReadableChord | null>();
const CACHE_LIMIT = 4000;

function readFresh(symbol: string): ReadableChord | null {
  if (SILENCE.test(symbol.trim())) return Object.freeze({ kind: 'silence', symbol });
  const parts = splitSymbol(symbol);
  const quality = parts && readQuality(parts.suffix);
  if (!parts || !quality) return null;
  return Object.freeze(
    build(symbol, parts.root, parts.suffix, quality.name, quality.intervals, parts.bass),
  );
}

function build(
  symbol: string,
  root: NoteName,
  suffix: string,
  quality: string,
  intervals: readonly string[],
  bass: NoteName = root,
): SoundingChord {
  const tones = intervals.map((interval) => toneOf(root, interval));
  const bassPc = pitchClassOf(bass);
  const sounding = pcSet([...tones.map((t) => t.pitchClass), bassPc]);
  return {
    kind: 'chord',
    symbol,
    root,
    rootPc: pitchClassOf(root),
    suffix,
    quality,
    tones,
    bass,
    bassPc,
    pitchClasses: Array.from({ length: 12 }, (_, pc) => pc).filter((pc) => (sounding >> pc) & 1),
  };
}

/**
 * Root, quality, tones and bass of a typed chord symbol; "N.C." is silence. ASCII and typographic
 * signs are equal (F#, F♯). The result is frozen and shared between calls.
 *
 * Fails with `chord-unreadable` and the nearest readable symbol in the cure.
 */
export function readChord(symbol: string): Result<ReadableChord> {
  let chord = cache.get(symbol);
  if (chord === undefined) {
    chord = readFresh(symbol);
    if (cache.size >= CACHE_LIMIT) cache.clear();
    cache.set(symbol, chord);
  }
  return chord ? ok(chord) : fail(unreadable(symbol));
}

/** As {@link readChord} for whoever must go on: what cannot be read is carried with what is wrong with it. */
export function chordOf(symbol: string): Chord {
  const read = readChord(symbol);
  return read.ok ? read.value : { kind: 'unread', symbol, problem: read.problems[0]! };
}

function unreadable(symbol: string): { code: string; message: string; cure: string } {
  if (symbol.trim() === '') {
    return {
      code: 'chord-unreadable',
      message: 'A chord symbol is empty.',
      cure: 'Type a chord such as Am7, or N.C. for silence.',
    };
  }
  const near = nearestSymbol(symbol, (s) => readFresh(s) !== null);
  return {
    code: 'chord-unreadable',
    message: `‘${symbol}’ is not a chord this program can read.`,
    cure: `Did you mean ${near}?`,
  };
}
