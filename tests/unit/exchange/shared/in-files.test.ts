// Facts in files of a bounded size: none grows with the log, none is lost, and each pass has its bars beside it.
import { describe, expect, it } from 'vitest';
import {
  entriesOfFacts,
  factsOfEntries,
  inFiles,
} from '../../../../app/core/exchange/shared/in-files.ts';
import type { Fact } from '../../../../app/core/exchange/shared/facts.ts';
import { amendment, passEntry } from '../../services/samples.ts';

const sizeOf = (facts: readonly Fact[]): number => JSON.stringify(facts).length;

/** A pass of a long unit, with what the ear heard of each change: some 40 kB. */
const long = (id: string) =>
  passEntry(id, {
    changes: Array.from({ length: 300 }, (_, change) => ({
      ...{ bar: change, change, from: 'G', to: 'D7', offset: 12.5 },
      ...({ timing: 'on-time', chord: 'right', confidence: 0.9 } as const),
    })),
  });

describe('facts in files', () => {
  it('are at most a thousand and at most a million characters a file', () => {
    const small = Array.from({ length: 2_500 }, (_, i) => passEntry(`p-${i}`));
    const large = Array.from({ length: 80 }, (_, i) => long(`l-${i}`));
    for (const entries of [small, large, [...small, ...large]]) {
      const files = factsOfEntries([...entries, amendment('p-1', '2031-01-01T00:00:00Z')]);
      expect(files.length).toBeGreaterThan(1);
      for (const facts of files) {
        expect(facts.length).toBeLessThanOrEqual(1_001);
        expect(sizeOf(facts)).toBeLessThan(1_010_000);
      }
      // Every file can be taken in without the others.
      const back = files.flatMap(entriesOfFacts);
      expect(back.slice(0, -1)).toEqual(entries);
    }
  });

  it('are bounded for values, too; one that is longer goes alone', () => {
    const value = (key: string, length: number): Fact => ({
      ...{ kind: 'value', key, turn: 1, value: 'x'.repeat(length) },
    });
    const all = [value('a', 600_000), value('b', 600_000), value('c', 3_000_000), value('d', 1)];
    expect(inFiles(all).map((facts) => facts.length)).toEqual([1, 1, 1, 1]);
    expect(inFiles([]).length).toBe(0);
    expect(inFiles(all.map((_, i) => value(`k${i}`, 1)))).toHaveLength(1);
  });
});
