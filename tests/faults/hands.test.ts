// Bad input to harmony and hands: any symbol, tuning, key or shape gives an answer or a named problem, never an exception.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Frets } from '../../app/core/model/chart.ts';
import { checkShape, fretsFromPlacements } from '../../app/core/fretboard/check.ts';
import { bestPath } from '../../app/core/fretboard/path.ts';
import { shapesFor } from '../../app/core/fretboard/search.ts';
import { readTuning, STANDARD } from '../../app/core/harmony/tunings.ts';
import { readKey } from '../../app/core/harmony/key.ts';
import { nameNotes } from '../../app/core/harmony/naming.ts';
import { readChord } from '../../app/core/harmony/read.ts';
import { transposeSymbol } from '../../app/core/harmony/transpose.ts';
import { readMusicXml } from '../../app/core/exchange/musicxml/read/read.ts';
import { type Result, unwrap } from '../../app/core/base/result.ts';
import { chordNamed } from '../support/chords.ts';
import { chordOf } from '../../app/core/harmony/read.ts';

/** Text that is nearly a chord symbol, and text that is not. */
const symbols = fc.oneof(
  fc.string({ maxLength: 12 }),
  fc.string({ unit: fc.constantFrom(...'ABCDEFGHabm7#b♯♭Δø°+-/()sudiaj69 1'), maxLength: 12 }),
);
const anyFrets: fc.Arbitrary<Frets> = fc.array(fc.option(fc.integer({ min: 0, max: 24 })), {
  minLength: 6,
  maxLength: 6,
});

/** A problem names what is wrong and says what to do; both are sentences. */
function expectAnswer(result: Result<unknown>): void {
  if (result.ok) return;
  expect(result.problems.length).toBeGreaterThan(0);
  for (const problem of result.problems) {
    expect(problem.code).toMatch(/^[a-z-]+$/);
    expect(problem.message).toMatch(/\.$/);
    expect(problem.cure).toMatch(/[.?]$/);
  }
}

describe('whatever is typed', () => {
  test('a symbol is read, or another one is offered that can be read', () =>
    fc.assert(
      fc.property(symbols, (symbol) => {
        const read = readChord(symbol);
        expectAnswer(read);
        const offered = read.ok
          ? undefined
          : /^Did you mean (.+)\?$/.exec(read.problems[0]!.cure)?.[1];
        if (offered) expect(readChord(offered).ok, offered).toBe(true);
      }),
      { numRuns: 2000 },
    ));

  test('what was read has a root among twelve and tones without gaps in their data', () =>
    fc.assert(
      fc.property(symbols, (symbol) => {
        const read = readChord(symbol);
        if (!read.ok || read.value.kind === 'silence') return;
        for (const tone of read.value.tones) {
          expect(Number.isInteger(tone.semitones) && tone.semitones >= 0).toBe(true);
          expect(tone.note).toMatch(/^[A-G](#*|b*)$/);
        }
      }),
      { numRuns: 2000 },
    ));

  test('keys, tunings and moves', () =>
    fc.assert(
      fc.property(symbols, fc.integer({ min: -24, max: 24 }), (text, by) => {
        expectAnswer(readKey(text));
        expectAnswer(readTuning(text));
        expectAnswer(transposeSymbol(text, by));
      }),
      { numRuns: 500 },
    ));
});

describe('whatever is pinned', () => {
  test('a shape is checked against a chord, and its notes are named or refused', () =>
    fc.assert(
      fc.property(anyFrets, fc.constantFrom('C', 'F#m7b5', 'G/B'), (frets, symbol) => {
        expect(['right', 'incomplete', 'wrong']).toContain(
          checkShape(frets, chordNamed(symbol), STANDARD).verdict,
        );
        const heard = frets.flatMap((f, i) => (f === null ? [] : [STANDARD.strings[i]! + f]));
        expectAnswer(nameNotes(heard));
      }),
      { numRuns: 300 },
    ));

  test('a path goes on past it', () =>
    fc.assert(
      fc.property(anyFrets, symbols, (pin, symbol) => {
        const steps = ['G', symbol, 'D'].map((s, bar) => {
          return { chord: chordOf(s), bar, at: bar, ...(bar === 1 && { pin }) };
        });
        const { steps: played, cost } = bestPath(steps, STANDARD);
        expect([played[0]!.kind, played[2]!.kind]).toEqual(['shape', 'shape']);
        expect(Number.isFinite(cost)).toBe(true);
      }),
      { numRuns: 60 },
    ));

  test('placements out of any order become frets or a sentence', () => {
    const placement = fc.record({
      string: fc.integer({ min: 1, max: 6 }),
      fret: fc.integer({ min: 0, max: 24 }),
      finger: fc.constantFrom(1 as const, 2 as const, 3 as const, 4 as const, 'T' as const),
    });
    fc.assert(fc.property(fc.array(placement), (all) => expectAnswer(fretsFromPlacements(all))));
  });
});

test('a chord in a tuning of any six strings is searched without an exception', () =>
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 35, max: 76 }), { minLength: 6, maxLength: 6 }),
      fc.constantFrom('C', 'Gm7', 'F13', 'Bdim7', 'D/F#'),
      (strings, symbol) => {
        const chord = readChord(symbol);
        if (!chord.ok || chord.value.kind === 'silence') throw new Error(symbol);
        const shapes = shapesFor(chord.value, { name: 'any', strings });
        expect(shapes.every((shape) => Number.isFinite(shape.ease))).toBe(true);
      },
    ),
    { numRuns: 60 },
  ));

describe('a chord diagram in a MusicXML file', () => {
  const note = (string: number, fret: number, finger?: number) =>
    `<frame-note><string>${string}</string><fret>${fret}</fret>${finger ? `<fingering>${finger}</fingering>` : ''}</frame-note>`;
  const opened = (...notes: string[]) =>
    unwrap(
      readMusicXml(
        `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part></part-list>` +
          `<part id="P1"><measure number="1"><harmony><root><root-step>G</root-step></root><kind>major</kind>` +
          `<frame><frame-strings>6</frame-strings><frame-frets>4</frame-frets>${notes.join('')}</frame>` +
          `</harmony></measure></part></score-partwise>`,
      ),
    );
  const said = (...notes: string[]) =>
    opened(...notes)
      .warnings.map((w) => w.message)
      .join();

  test('with two notes on a string is left out and said; the chord stays', () => {
    expect(said(note(6, 3), note(6, 5))).toContain('String 6 has notes at frets 3 and 5');
    expect(JSON.stringify(opened(note(6, 3), note(6, 5)).chart.sections)).toContain('"symbol":"G"');
  });

  test('with a finger in two places, too', () =>
    expect(said(note(6, 3, 2), note(5, 2, 2))).toContain('Finger 2 is in two places'));

  test('with one finger flat across strings is a pin', () =>
    expect(JSON.stringify(opened(note(6, 3, 1), note(1, 3, 1)).chart)).toContain(
      '[3,null,null,null,null,3]',
    ));

  test('beyond the neck is said', () => expect(said(note(6, 99))).toContain('beyond the neck'));
});
