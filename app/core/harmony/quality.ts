// The quality of a chord: what follows the root of its symbol, read as intervals and called by its house spelling.
import { Remembered } from '../base/remembered.ts';
import { readSuffix } from './suffix.ts';
import { type Quality, QUALITIES, intervalKey, qualityWith } from './vocabulary.ts';

/** Far more spellings than charts have. */
const known = new Remembered<string, Quality | undefined>(4000);

/** Undefined when the suffix cannot be read. The same suffix always returns the same frozen object. */
export const readQuality = (suffix: string): Quality | undefined =>
  known.of(suffix, () => readFresh(suffix));

function readFresh(suffix: string): Quality | undefined {
  const intervals = readSuffix(suffix);
  if (!intervals) return undefined;
  return qualityWith(intervals) ?? Object.freeze({ name: spelled(intervals, suffix), intervals });
}

const degreeOf = (interval: string): number => Number.parseInt(interval, 10);

/** A signed degree as it is written after a quality: '9m' → 'b9', '11A' → '#11', '13M' → '13'. */
function signed(interval: string): string {
  const quality = interval.at(-1)!;
  return `${quality === 'A' ? '#' : quality === 'm' || quality === 'd' ? 'b' : ''}${degreeOf(interval)}`;
}

/**
 * The house spelling of a set that the vocabulary has no row for: the row from which the fewest signs lead to it,
 * with these signs. It is read as the same set again.
 */
function spelled(intervals: readonly string[], typed: string): string {
  // A third is never told by a sign: "m(maj9)", not "maj9b3".
  const minor = intervals.includes('3m');
  const rows = QUALITIES.filter(({ intervals: row }) => row.includes('3m') === minor);
  const candidates = rows
    .map(({ name, intervals: base }) => {
      const gone = base.filter((interval) => !intervals.includes(interval));
      const come = intervals.filter((interval) => !base.includes(interval));
      const altered = come.filter((interval) => /[Amd]$/.test(interval));
      const added = come.filter((interval) => !altered.includes(interval));
      const replaced = new Set(altered.map(degreeOf));
      const omitted = gone.filter((interval) => !replaced.has(degreeOf(interval)));
      const signs =
        altered.map(signed).join('') +
        added.map((interval) => `add${signed(interval)}`).join('') +
        omitted.map((interval) => `no${degreeOf(interval)}`).join('');
      return {
        name: name + signs,
        cost: altered.length + 1.5 * added.length + 1.6 * omitted.length,
      };
    })
    .sort((a, b) => a.cost - b.cost || a.name.length - b.name.length);
  const wanted = intervalKey(intervals);
  const found = candidates.find(({ name }) => {
    const read = readSuffix(name);
    return read && intervalKey(read) === wanted;
  });
  return found?.name ?? typed;
}
