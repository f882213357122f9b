// Every reader on hostile inputs: it never throws, never hangs, and what it refuses it refuses in words with a cure.
// `npm test` knocks 10,000 times at each door with a fixed seed; `npm run fuzz` 200,000 times (FUZZ=long).
import fs from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { ServiceHost } from '../../app/services/machine/host.ts';
import { fullFlaw } from '../../app/services/machine/log/check-log.ts';
import { LONG, runs } from '../support/runs.ts';
import {
  openTestServices,
  passEntry,
  sampleChart,
  temporaryDirectory,
  viewOf,
} from '../unit/services/samples.ts';
import { DOORS } from './hostile/doors.ts';
import { rollOf } from './hostile/inputs.ts';
import { hostileMessage } from './hostile/messages.ts';

const KNOCKS = runs(10_000, 200_000);
const SEED = Number(process.env['FUZZ_SEED'] ?? 20_310_405);
/** With room for a machine that does other things as well: a door takes up to 10 s of a processor. */
const LIMIT_MS = LONG ? 3_600_000 : 1_200_000;
/** Longest text of a problem: whatever came in, it is quoted in part only. */
const MOST_WORDS = 700;

describe('each door', () => {
  it.each(DOORS)(
    '$name',
    ({ name, knock }) => {
      const roll = rollOf(SEED);
      let [slowest, refused] = [0, 0];
      for (let n = 0; n < KNOCKS; n++) {
        const { input, read } = knock(roll);
        const began = performance.now();
        let said: ReturnType<typeof read>;
        try {
          said = read();
        } catch (error) {
          throw new Error(`${name} threw at ${JSON.stringify(input).slice(0, 2_000)}`, {
            cause: error,
          });
        }
        slowest = Math.max(slowest, performance.now() - began);
        if (said.length > 0) refused++;
        for (const { message, cure } of said) {
          const inWords = /\p{L}/u.test(message) && /\p{L}/u.test(cure);
          if (!inWords || message.length > MOST_WORDS)
            expect.fail(
              `${name} says “${message.slice(0, 2_000)}” with the cure “${cure}” of ${JSON.stringify(input).slice(0, 500)}`,
            );
        }
      }
      if (LONG)
        console.log(
          `${name}: ${refused} of ${KNOCKS} refused; the slowest took ${slowest.toFixed(0)} ms`,
        );
    },
    LIMIT_MS,
  );
});

describe('messages to the machine', () => {
  it(
    'are refused in words or carried out; what is kept is whole afterwards, and opens again',
    async () => {
      const root = temporaryDirectory();
      let host: ServiceHost = openTestServices(root, { newId: () => crypto.randomUUID() });
      const view = viewOf(host);
      await view.call('charts.save', { chart: sampleChart('mine', { title: 'Mine' }) });
      await view.call('log.append', { entries: [passEntry('mine')] });
      const roll = rollOf(SEED);
      for (let n = 0; n < KNOCKS; n++) {
        const [name, input] = hostileMessage(roll);
        const answer = await host.handle(name, input);
        JSON.stringify(answer);
        if (answer.ok) continue;
        for (const { code, message, cure } of answer.problems) {
          const sound = code !== 'call-failed' && /\p{L}/u.test(message) && /\p{L}/u.test(cure);
          if (!sound || message.length > MOST_WORDS)
            expect.fail(
              `${name} says “${message.slice(0, 2_000)}” of ${JSON.stringify(input).slice(0, 1_000)}`,
            );
        }
      }
      expect(fullFlaw(host.log()!.database)).toBeUndefined();
      host.close();
      host = openTestServices(root);
      const again = viewOf(host);
      expect((await again.call('log.passes', {})).passes.map(({ id }) => id)).toContain('mine');
      expect((await again.call('charts.open', { id: 'mine' })).ok).toBe(true);
      // What shares is loaded late: it has read what it kept before it answers.
      await again.call('shared.open', { id: 'a' });
      expect((await again.call('host.info', {})).problems).toEqual([]);
      host.close();
      fs.rmSync(root, { recursive: true, force: true });
    },
    LIMIT_MS,
  );
});
