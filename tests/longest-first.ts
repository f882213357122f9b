// The order of the unit tests' files: those that are known to take longest begin first, so that no worker ends alone.
import type { TestSpecification } from 'vitest/node';
import { BaseSequencer } from 'vitest/node';

/** Files of more than four seconds on the machine of the bench, longest first; the others keep vitest's order. */
const LONG = [
  'faults/hostile.test.ts',
  'campaign/spoilt.test.ts',
  'unit/ladder/tempo-finder.test.ts',
  'reference/musical-output.test.ts',
  'faults/start.test.ts',
  'faults/ear-judge.test.ts',
  'unit/bench/takes.test.ts',
  'store/store-file.test.ts',
  'unit/sound/levels.test.ts',
  'unit/sheets/held-out.test.ts',
  'unit/ear/listener.test.ts',
  'unit/ear/capo.test.ts',
  'reference/smf-fluidsynth.test.ts',
  'unit/ear/judge-take.test.ts',
  'unit/house/probes.test.ts',
  'reference/band-tonal.test.ts',
  'courier/dav.test.ts',
  'shared/shelf.test.ts',
  'reference/line-ear.test.ts',
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
