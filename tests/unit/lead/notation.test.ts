// The typed form of a lead line: examples of each sign, exact inverses, and what a slip of the pen says.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { NoteValue, LeadBar, LeadEvent, LeadNote } from '../../../app/core/model/lead.ts';
import { parsePart, printPart } from '../../../app/core/lead/notation.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const firstNotes = (text: string): readonly LeadNote[] => {
  const event = unwrap(parsePart(text, 'Part 1'))[0]!.events.at(-1)!;
  return event.kind === 'notes' ? event.notes : [];
};

describe('one note', () => {
  it.each<[string, string, Partial<LeadNote>]>([
    ['string and fret', '3/7', { string: 3, fret: 7, reach: 'picked' }],
    ['hammer-on', '3/5 h7', { string: 3, fret: 7, reach: 'hammer-on' }],
    ['pull-off', '3/7 p5', { string: 3, fret: 5, reach: 'pull-off' }],
    ['slide up', '3/5 /9', { string: 3, fret: 9, reach: 'slide-up' }],
    ['slide down', '3/9 \\5', { string: 3, fret: 5, reach: 'slide-down' }],
    ['half-step bend', '2/8b.5', { bend: { semitones: 1, release: false } }],
    ['whole-step bend with release', '2/8b1r', { bend: { semitones: 2, release: true } }],
    ['one and a half steps', '2/8b1.5', { bend: { semitones: 3, release: false } }],
    ['vibrato and let ring', '2/8~^', { vibrato: true, ring: true }],
    ['muted', '5/x', { string: 5, fret: 'muted' }],
    ['grace note', '3/g5h7', { fret: 7, grace: { fret: 5, into: 'hammer-on' } }],
  ])('%s: %s', (_, text, expected) => {
    expect(firstNotes(text)[0]).toMatchObject(expected);
  });

  it('joins notes struck together', () => {
    expect(firstNotes('3/7+2/8')).toMatchObject([
      { string: 3, fret: 7 },
      { string: 2, fret: 8 },
    ]);
  });
});

it('keeps a note value until the next one, also across a bar line', () => {
  const bars = unwrap(parsePart('| 4. 3/7 8 - | 2/8 8t r |', 'Part 1'));
  expect(bars.map((bar) => bar.events.map((event) => [event.kind, event.value]))).toEqual([
    [
      ['notes', { of: 4, shape: 'dotted' }],
      ['hold', { of: 8, shape: 'plain' }],
    ],
    [
      ['notes', { of: 8, shape: 'plain' }],
      ['rest', { of: 8, shape: 'triplet' }],
    ],
  ]);
});

it('names part, bar and entry of everything it cannot read', () => {
  const result = parsePart('3/7 zz | p5 3/77/2', 'Second guitar');
  expect(result).toMatchObject({
    ok: false,
    problems: [
      { code: 'lead-token', message: expect.stringContaining('Second guitar, bar 1, entry 2') },
      { code: 'lead-token', message: expect.stringContaining('Second guitar, bar 2, entry 2') },
    ],
  });
});

const value: fc.Arbitrary<NoteValue> = fc.record({
  of: fc.constantFrom(1 as const, 2 as const, 4 as const, 8 as const, 16 as const),
  shape: fc.constantFrom('plain' as const, 'dotted' as const, 'triplet' as const),
});

const note: fc.Arbitrary<LeadNote> = fc
  .record({
    string: fc.integer({ min: 1, max: 6 }),
    fret: fc.oneof(fc.integer({ min: 0, max: 24 }), fc.constant('muted' as const)),
    how: fc.oneof(
      fc.record({
        reach: fc.constantFrom(
          'picked' as const,
          'hammer-on' as const,
          'pull-off' as const,
          'slide-up' as const,
          'slide-down' as const,
        ),
      }),
      fc.record({
        reach: fc.constant('picked' as const),
        grace: fc.record({
          fret: fc.integer({ min: 0, max: 24 }),
          into: fc.constantFrom('hammer-on' as const, 'slide-down' as const),
        }),
      }),
    ),
    extras: fc.record(
      {
        bend: fc.record({
          semitones: fc.constantFrom(1 as const, 2 as const, 3 as const),
          release: fc.boolean(),
        }),
        vibrato: fc.constant(true as const),
        ring: fc.constant(true as const),
      },
      { requiredKeys: [] },
    ),
  })
  .map(({ string, fret, how, extras }) => ({ string, fret, ...how, ...extras }));

const event: fc.Arbitrary<LeadEvent> = fc.oneof(
  fc.record({
    kind: fc.constant('notes' as const),
    value,
    notes: fc.array(note, { minLength: 1, maxLength: 3 }),
  }),
  fc.record({ kind: fc.constantFrom('hold' as const, 'rest' as const), value }),
);

const bars: fc.Arbitrary<LeadBar[]> = fc.array(
  fc.record({ events: fc.array(event, { maxLength: 8 }) }),
  { minLength: 1, maxLength: 4 },
);

it('prints what it reads and reads what it prints', () => {
  fc.assert(
    fc.property(bars, (written) => {
      expect(unwrap(parsePart(printPart(written), 'Part 1'))).toEqual(written);
    }),
  );
});
