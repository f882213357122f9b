// The order of the unit tests' files: those that are known to take longest begin first, so that no worker ends alone.
import type { TestSpecification } from 'vitest/node';
import { BaseSequencer } from 'vitest/node';

/** Files that take longest beside the browser tests, longest first; the others keep vitest's order. */
const LONG = [
  'faults/hostile.test.ts',
  'reference/musical-output.test.ts',
  'reference/lead-ear.test.ts',
  'campaign/interleavings.test.ts',
  'faults/start.test.ts',
  'campaign/spoilt.test.ts',
  'services/shared/five-machines.test.ts',
  'reference/progress-coverage.test.ts',
  'reference/musicxml.test.ts',
  'unit/ear/judge-take.test.ts',
  'faults/ear-judge.test.ts',
  'services/shared/round-trip-server.test.ts',
  'campaign/kills.test.ts',
  'unit/bench/fresh-d.test.ts',
  'unit/ear/capo.test.ts',
  'unit/sheets/held-out.test.ts',
  'faults/recordings.test.ts',
  'ear/start/places.test.ts',
  'reference/ear.test.ts',
  'faults/chart.test.ts',
  'unit/house/probes.test.ts',
  'services/shared/removed-people.test.ts',
  'unit/exchange/musicxml/strums.test.ts',
  'faults/chart-mxl.test.ts',
  'reference/band-tonal.test.ts',
  'services/archive.test.ts',
  'services/courier/seal.test.ts',
];

/** A worker ends, with all that it has loaded, before a file of another project: those of one stand together. */
const PROJECTS = ['alone', 'svelte', 'plain'];

const rank = ({ moduleId, project }: TestSpecification): number => {
  const at = LONG.findIndex((file) => moduleId.endsWith(file));
  return 1_000 * PROJECTS.indexOf(project.name) + (at < 0 ? LONG.length : at);
};

export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const usual = await super.sort(files);
    return usual.toSorted((a, b) => rank(a) - rank(b));
  }
}
