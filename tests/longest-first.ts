// The order of the unit tests' files: those that are known to take longest begin first, so that no worker ends alone.
import type { TestSpecification } from 'vitest/node';
import { BaseSequencer } from 'vitest/node';

/** Files of more than four seconds on the machine of the bench, longest first; the others keep vitest's order. */
const LONG = [
  'faults/hostile.test.ts',
  'reference/band-tonal.test.ts',
  'unit/ladder/tempo-finder.test.ts',
  'faults/campaign.test.ts',
  'faults/ear-judge.test.ts',
  'unit/ear/judge-take.test.ts',
  'reference/smf-fluidsynth.test.ts',
  'faults/start.test.ts',
  'unit/house/probes.test.ts',
  'reference/line-ear.test.ts',
  'reference/musicxml.test.ts',
];

const rank = ({ moduleId }: TestSpecification): number => {
  const at = LONG.findIndex((file) => moduleId.endsWith(file));
  return at < 0 ? LONG.length : at;
};

export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const usual = await super.sort(files);
    return usual.toSorted((a, b) => rank(a) - rank(b));
  }
}
