// A shared folder's segments: whole, partial, spoilt or newer; and one state whatever the order in which they come.
import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  readSegment,
  type Segment,
  writeSegment,
} from '../../../../app/core/exchange/shared/segment.ts';
import {
  joinAgain,
  joinShelves,
  newestParcels,
  rangesOf,
  type Shelf,
  shelved,
  writersOf,
  replacedOn,
} from '../../../../app/core/exchange/shared/shelf.ts';

const NOW = '2031-04-10T20:00:00+02:00';
const segment = (writer: string, number: number, more: Partial<Segment> = {}): Segment => ({
  writer,
  number,
  written: NOW,
  parcel: {
    kind: 'report',
    student: 'ada',
    name: 'Ada practice report.rungreport',
    text: `${writer} ${number}`,
  },
  ...more,
});

/** What arrives of a file, taken up as the folder is read. */
function take(shelf: Shelf, text: string): Shelf {
  const arrived = shelfOf.get(text) ?? readShelf(text);
  shelfOf.set(text, arrived);
  return arrived.size > 0 ? joinShelves(shelf, arrived) : shelf;
}

/** The same few texts come in thousands of orders: each is read once. */
const shelfOf = new Map<string, Shelf>();

function readShelf(text: string): Shelf {
  const read = readSegment(text);
  return new Map(read.kind === 'whole' ? [[read.hash, shelved(read.segment)]] : []);
}

describe('a segment', () => {
  const text = writeSegment(segment('anna', 1));

  it('comes back as it was written', () => {
    expect(readSegment(text)).toMatchObject({ kind: 'whole', segment: segment('anna', 1) });
  });

  it('is partial at every length but its whole one', () => {
    for (let length = 0; length < text.length; length++) {
      expect(readSegment(text.slice(0, length)).kind).toBe('partial');
    }
  });

  it('is spoilt by any changed letter', () => {
    for (let i = 0; i < text.length - 1; i++) {
      const other = text[i] === 'x' ? 'y' : 'x';
      const kind = readSegment(text.slice(0, i) + other + text.slice(i + 1)).kind;
      expect(['spoilt', 'partial']).toContain(kind);
    }
  });

  it('of a later version is left to a later program', () => {
    const line = JSON.stringify({ format: 'rungwise-shared', version: 99, anything: true });
    const hash = createHash('sha256').update(line).digest('hex');
    expect(readSegment(`${line}\n${hash}\n`).kind).toBe('newer');
  });

  it('never throws, whatever stands in the file', () => {
    fc.assert(
      fc.property(fc.string(), (any) => {
        expect(['whole', 'partial', 'spoilt', 'newer']).toContain(readSegment(any).kind);
      }),
      { numRuns: 2_000 },
    );
  });
});

describe('a shelf', () => {
  const files = ['anna', 'ben', 'cleo'].flatMap((writer) =>
    [1, 2, 3, 4].map((n) => writeSegment(segment(writer, n))),
  );
  const whole = files.reduce(take, joinShelves());
  const view = (shelf: Shelf) => [writersOf(shelf), newestParcels(shelf)];

  it('is the same in 10,000 orders, with files that come twice, in part, or late', () => {
    const arrival = fc.record({
      file: fc.nat(files.length - 1),
      share: fc.constantFrom(0.3, 0.9, 1, 1),
    });
    const order = fc.record({
      before: fc.array(arrival, { maxLength: 20 }),
      then: fc.shuffledSubarray(files, { minLength: files.length }),
    });
    fc.assert(
      fc.property(order, ({ before, then }) => {
        const early = before.map(({ file, share }) =>
          files[file]!.slice(0, Math.round(share * files[file]!.length)),
        );
        const shelf = [...early, ...then].reduce(take, joinShelves());
        expect(shelf.size).toBe(whole.size);
        expect(view(shelf)).toEqual(view(whole));
      }),
      { numRuns: 10_000 },
    );
  });

  it('joins in any grouping, and with itself', () => {
    const part = fc.subarray(files).map((some) => some.reduce(take, joinShelves()));
    fc.assert(
      fc.property(part, part, part, (a, b, c) => {
        expect(view(joinShelves(joinShelves(a, b), c))).toEqual(
          view(joinShelves(a, joinShelves(c, b))),
        );
        expect(view(joinShelves(a, a))).toEqual(view(a));
      }),
      { numRuns: 500 },
    );
  });

  it('waits for nothing that any writer says was told again, in whatever order they come', () => {
    const told = segment('ben', 1, { again: [{ writer: 'anna', numbers: [[2, 3]] }] });
    const all = [segment('anna', 1), segment('anna', 5), told].map(writeSegment);
    for (const files of [all, all.toReversed()])
      expect(writersOf(files.reduce(take, joinShelves()))).toEqual([
        { writer: 'anna', segments: 2, missing: [4] },
        { writer: 'ben', segments: 1, missing: [] },
      ]);
    const more = segment('ben', 2, { again: [{ writer: 'anna', numbers: [[3, 4]] }] });
    expect(joinAgain([told, more])).toEqual([{ writer: 'anna', numbers: [[2, 4]] }]);
    expect(readSegment(writeSegment(told))).toMatchObject({ kind: 'whole', segment: told });
  });

  it('waits for what is missing, and says which', () => {
    const late = [files[0]!, files[3]!].reduce(take, joinShelves());
    expect(writersOf(late)).toEqual([{ writer: 'anna', segments: 2, missing: [2, 3] }]);
    expect(newestParcels(late).map(({ parcel }) => parcel.text)).toEqual(['anna 4']);
  });

  it('waits for none whose content stands in a later one', () => {
    const late = [
      files[0]!,
      writeSegment(
        segment('anna', 6, {
          instead: [
            [2, 3],
            [5, 5],
          ],
        }),
      ),
    ];
    const shelf = late.reduce(take, joinShelves());
    expect(writersOf(shelf)).toEqual([{ writer: 'anna', segments: 2, missing: [4] }]);
    expect([2, 4, 5, 6].map((n) => replacedOn(shelf)('anna', n))).toEqual([
      true,
      false,
      true,
      false,
    ]);
    expect(replacedOn(shelf)('ben', 2)).toBe(false);
    expect(rangesOf([5, 2, 3, 2])).toEqual([
      [2, 3],
      [5, 5],
    ]);
  });

  it('goes by the writer’s numbers, whatever a clock said', () => {
    const wrong = writeSegment(segment('anna', 5, { written: '1999-01-01T00:00:00Z' }));
    const newest = newestParcels(take(whole, wrong));
    expect(newest.find(({ segment: s }) => s.writer === 'anna')!.parcel.text).toBe('anna 5');
  });

  it('keeps what was put on top of the newest whole one', () => {
    const { parcel } = segment('dora', 1);
    const adds = (n: number) =>
      writeSegment(segment('dora', n, { parcel: { ...parcel!, text: `more ${n}`, adds: true } }));
    const all = [adds(1), writeSegment(segment('dora', 2)), adds(3), adds(4)];
    for (const order of [all, all.toReversed()]) {
      const texts = newestParcels(order.reduce(take, joinShelves())).map((one) => one.parcel.text);
      expect(texts).toEqual(['dora 2', 'more 3', 'more 4']);
    }
  });

  it('shows nothing of a parcel that was taken out', () => {
    const emptied = writeSegment({ writer: 'dora', number: 1, written: NOW });
    expect(newestParcels(take(joinShelves(), emptied))).toEqual([]);
  });
});
