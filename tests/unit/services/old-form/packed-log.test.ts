// The packed log gives back exactly what went in, and names what is wrong with a broken one.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ChangeHeard, LogEntry } from '../../../../app/core/model/pass.ts';
import {
  flawOfPackedLog,
  unpackLog,
} from '../../../../app/services/machine/old-form/packed-log.ts';
import { packLog } from '../../../support/old-form.ts';
import { amendment, passEntry } from '../samples.ts';

const change: fc.Arbitrary<ChangeHeard> = fc.record(
  {
    bar: fc.nat(200),
    change: fc.nat(800),
    from: fc.constantFrom('G', 'Am7', 'B♭'),
    to: fc.constantFrom('D', 'E7', 'N.C.'),
    offset: fc.double({ min: -500, max: 500, noNaN: true }),
    timing: fc.constantFrom('on-time', 'early', 'late', 'silent', 'unsure'),
    chord: fc.constantFrom('right', 'held', 'other', 'muted', 'silent', 'unsure'),
    heard: fc.constantFrom('G', 'F♯°'),
    confidence: fc.double({ min: 0, max: 1, noNaN: true }),
  },
  {
    requiredKeys: ['bar', 'change', 'from', 'to', 'timing', 'chord', 'confidence'],
    noNullPrototype: true,
  },
);

const pass: fc.Arbitrary<LogEntry> = fc
  .record(
    {
      verdict: fc.constantFrom('clean', 'missed', 'unjudged'),
      source: fc.constantFrom('self', 'ear', 'pedal', 'teacher'),
      earVerdict: fc.constantFrom('clean', 'missed'),
      cold: fc.boolean(),
      duration: fc.double({ min: 0, max: 900, noNaN: true }),
      climb: fc.constantFrom('c-1', 'c-2'),
      underrun: fc.constant(true),
      changes: fc.array(change, { maxLength: 5 }),
    },
    { requiredKeys: [], noNullPrototype: true },
  )
  .chain((fields) => fc.uuid().map((id) => passEntry(id, fields as never)));

describe('packing the log', () => {
  it('gives back every pass and amendment as it was (law: unpack ∘ pack = identity)', () => {
    fc.assert(
      fc.property(fc.array(pass, { maxLength: 30 }), (passes) => {
        const entries = [...passes, amendment('x', '2031-04-06T10:00:00Z')];
        // −0 is written as 0 by JSON and means the same offset.
        const plain = JSON.parse(JSON.stringify(entries)) as LogEntry[];
        const stored = JSON.parse(JSON.stringify(packLog(plain))) as ReturnType<typeof packLog>;
        expect([...unpackLog(stored)]).toEqual(plain);
        expect(flawOfPackedLog(stored as never)).toBeUndefined();
      }),
    );
  });

  it('keeps a field that a later version adds', () => {
    const entry = passEntry('p', { mood: 'good' } as never);
    expect([...unpackLog(packLog([entry]))]).toEqual([entry]);
  });

  it('shares a head between neighbours only while every field of it is the same', () => {
    const chart = { id: 'k-1', title: 'Harbour Lights Are Out' };
    const entries = [
      passEntry('a', { chart }),
      passEntry('b', { chart: { ...chart } }),
      passEntry('c', { chart: { ...chart, mood: 'calm' } as never }),
      passEntry('d', { chart: { ...chart, tags: ['slow'] } as never }),
      passEntry('e', { chart: { ...chart, tags: ['slow'] } as never }),
      passEntry('f', { chart }),
    ];
    const packed = packLog(entries);
    expect(packed.head).toEqual([0, 0, 1, 2, 2, 0]);
    expect(unpackLog(packed)).toEqual(entries);
  });

  it('keeps the bars once however often they were played', () => {
    expect(packLog([passEntry('a'), passEntry('b')]).units).toHaveLength(1);
  });

  it.each([
    ['a column is missing', (log: never) => ({ ...(log as object), bpm: undefined }), /bpm/],
    ['a column is short', (log: never) => ({ ...(log as object), bpm: [] }), /bpm.*0 rows/],
    ['a date is impossible', (log: never) => ({ ...(log as object), at: ['noon'] }), /date/],
    ['a head is missing', (log: never) => ({ ...(log as object), heads: [] }), /heads/],
    ['a code is unknown', (log: never) => ({ ...(log as object), verdict: [7] }), /verdict/],
    ['bars are missing', (log: never) => ({ ...(log as object), units: [] }), /bars/],
    ['a rare row is outside', (log: never) => ({ ...(log as object), more: [[4, {}]] }), /more/],
  ])('names the flaw when %s', (_case, spoil, message) => {
    const log = packLog([passEntry('a')]);
    expect(flawOfPackedLog(spoil(log as never) as never)).toMatch(message);
  });
});
