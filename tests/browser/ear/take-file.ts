// What the microphone of a heard test plays, over and over: read when it is opened, not when its browser starts.
import os from 'node:os';
import path from 'node:path';

/** Of this run: the processes of its workers have it from the first one, which names it. */
const OF_RUN = 'RUNGWISE_TEST_TAKE';
export const TAKE = (process.env[OF_RUN] ??= path.join(
  os.tmpdir(),
  `rungwise-take-${process.pid}.wav`,
));
