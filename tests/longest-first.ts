// The order of the unit tests' files: those that are known to take longest begin first, so that no worker ends alone.
import type { TestSpecification } from 'vitest/node';
import { BaseSequencer } from 'vitest/node';

/** Files that take longest beside the browser tests, longest first; the others keep vitest's order. */
const LONG = [
  'faults/hostile.test.ts',
  'faults/ear-judge.test.ts',
  'campaign/spoilt.test.ts',
  'reference/musical-output.test.ts',
  'unit/ladder/tempo-finder.test.ts',
  'campaign/interleavings.test.ts',
  'services/shared/round-trip-server.test.ts',
  'faults/start.test.ts',
  'reference/band-tonal.test.ts',
  'reference/musicxml.test.ts',
  'reference/line-ear.test.ts',
  'services/courier/dav.test.ts',
  'unit/exchange/musicxml/strums.test.ts',
  'faults/chart.test.ts',
  'services/shared/own-machines.test.ts',
  'unit/house/probes.test.ts',
  'unit/ear/capo.test.ts',
  'services/courier/seal.test.ts',
  'unit/chart/notation.test.ts',
  'unit/ear/judge-take.test.ts',
  'services/shared/five-machines.test.ts',
  'unit/services/services.test.ts',
  'campaign/courier.test.ts',
  'exchange/shared/shelf.test.ts',
  'ear/start/places.test.ts',
  'electron/main.test.ts',
  'faults/recordings.test.ts',
  'services/log/log.test.ts',
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
