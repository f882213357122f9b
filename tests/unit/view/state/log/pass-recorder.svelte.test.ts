// Every judged pass reaches the disk once, in order, however often the machine side fails.
import { describe, expect, it } from 'vitest';
import type { LogEntry } from '../../../../../app/core/model/pass.ts';
import type { AppendAnswer } from '../../../../../app/services/contract/contract.ts';
import { isoTimeOf } from '../../../../../app/core/base/iso-time.ts';
import { PassRecorder } from '../../../../../renderer/state/log/pass-recorder.svelte.ts';
import { fakeServices } from '../../../../support/fake-services.ts';
import { settled } from '../climb/stage.ts';

const entry = (id: string): LogEntry => ({
  kind: 'amendment',
  amendment: { amends: id, at: '2031-04-05T18:20:00.000+02:00', verdict: 'clean', source: 'self' },
});

/** A machine side that refuses while it is told to. */
class Machine {
  broken = false;
  answer: AppendAnswer = { stored: 1, pending: 0 };
  readonly stored: string[] = [];
  readonly waits: number[] = [];
  readonly kept: LogEntry[] = [];
  run: (() => void) | undefined;
  readonly recorder = new PassRecorder({
    services: fakeServices({
      answers: {
        'log.append': ({ entries }) => {
          if (this.broken) throw new Error('the window lost its machine side');
          for (const e of entries) if (e.kind === 'amendment') this.stored.push(e.amendment.amends);
          return this.answer;
        },
      },
    }),
    written: () => undefined,
    isoNow: () => '2031-04-05T18:20:00.000+02:00',
    later: (wait, run) => {
      this.waits.push(wait);
      this.run = run;
      return () => (this.run = undefined);
    },
    keep: (entries) => void this.kept.push(...entries),
  });

  async rest(): Promise<void> {
    for (let i = 0; i < 6; i++) await settled();
  }
}

describe('a recorder', () => {
  it('sends at once, and what comes meanwhile right after it, in order', async () => {
    const machine = new Machine();
    for (const id of ['a', 'b', 'c']) machine.recorder.append(entry(id));
    expect(machine.recorder.waiting).toHaveLength(3);
    expect(machine.kept).toHaveLength(3);
    await machine.rest();
    expect([machine.stored, machine.recorder.waiting]).toEqual([['a', 'b', 'c'], []]);
  });

  it('tries again less and less often, says how many wait, and forgets none', async () => {
    const machine = new Machine();
    machine.broken = true;
    machine.recorder.append(entry('a'));
    await machine.rest();
    for (let i = 0; i < 6; i++) {
      machine.run?.();
      await machine.rest();
    }
    expect(machine.waits).toEqual([1000, 2000, 5000, 10_000, 30_000, 30_000, 30_000]);
    machine.recorder.append(entry('b'));
    await machine.rest();
    expect(machine.recorder.trouble?.message).toMatch(/^2 passes are not saved yet/);
    machine.broken = false;
    machine.recorder.retry();
    await machine.rest();
    expect([machine.stored, machine.recorder.trouble]).toEqual([['a', 'b'], null]);
  });

  it('leaves entries that the machine side keeps, and their standing message, to it', async () => {
    const machine = new Machine();
    const since = '2031-04-05T18:20:00.000+02:00';
    const problem = { code: 'full', message: 'The disk is full.', cure: 'Make room.', since };
    machine.answer = { stored: 0, pending: 1, problem };
    machine.recorder.append(entry('a'));
    await machine.rest();
    expect([machine.recorder.trouble, machine.recorder.waiting]).toEqual([null, []]);
  });
});

it('writes times with the offset of this machine', () => {
  const now = new Date('2031-04-05T16:20:00.123Z');
  const iso = isoTimeOf(now);
  expect(iso).toMatch(/^2031-04-0\dT\d\d:\d\d:00\.123[+-]\d\d:\d\d$/);
  expect(Date.parse(iso)).toBe(now.getTime());
});
