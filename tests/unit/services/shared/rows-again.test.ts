// Rows of a log that went, and whose numbers are used again: what is told is counted by rows, and still nothing is missed.
import fs from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import type { LogEntry } from '../../../../app/core/model/pass.ts';
import { eachInAWorld } from '../../../support/machines/each-in-a-world.ts';
import { type Machine, stateOf } from '../../../support/machines/own-machines.ts';
import { twoOfAPlayer } from '../../../support/machines/two-of-a-player.ts';
import { passEntry } from '../samples.ts';

const all = eachInAWorld(7);
const word = (amends: string, verdict: 'clean' | 'missed'): LogEntry => ({
  kind: 'amendment',
  amendment: { amends, at: '2031-04-06T19:00:00Z', verdict, source: 'self' },
});
const append = (one: Machine, ...entries: readonly LogEntry[]) =>
  one.call('log.append', { entries });
const passesOn = async (one: Machine): Promise<readonly string[]> =>
  (await one.call('log.passes', {})).passes.map(({ id, verdict }) => `${id} ${verdict}`).toSorted();

/** All days of another computer's archive come in. */
async function bringIn(one: Machine, other: Machine): Promise<void> {
  const { bytes } = await other.done('archives.save', {});
  const part = await other.done('archives.part', { from: 0 });
  expect(Buffer.from(part.base64, 'base64')).toHaveLength(bytes);
  await one.done('archives.give', { from: 0, base64: part.base64 });
  const { days } = await one.done('archives.look', {});
  await one.done('archives.bringIn', {
    ...{ charts: [], days: days.map(({ desk, day }) => ({ desk, day })) },
    ...{ documents: false, replace: false, recordings: false },
  });
}

it('an archive that is undone after the other has it: it comes back, and what is said next is told', async () => {
  const [laptop, desktop] = await twoOfAPlayer(all);
  const old = all.machine('old', '2031-04-05T18:20:00Z');
  await append(laptop, passEntry('p-1'));
  await append(old, passEntry('p-1'), passEntry('q-1'), word('p-1', 'missed'));
  await bringIn(laptop, old);
  await append(laptop, passEntry('p-2'));
  await all.meet(laptop, desktop);
  await laptop.done('archives.undo', {});
  expect(await passesOn(laptop)).toEqual(['p-1 clean', 'p-2 clean']);
  // In the row of the word that went.
  await append(laptop, word('p-2', 'missed'));
  await all.meet(laptop, desktop);
  expect(await passesOn(desktop)).toEqual(['p-1 missed', 'p-2 missed', 'q-1 clean']);
  expect(await stateOf(laptop)).toEqual(await stateOf(desktop));
});

it('a file of the log that was put back from an earlier copy, in which only words are fewer', async () => {
  const [laptop, desktop] = await twoOfAPlayer(all);
  await append(laptop, passEntry('p-1'), passEntry('p-2'));
  await all.meet(laptop, desktop);
  laptop.close();
  const file = path.join(laptop.data, 'log.sqlite');
  const copy = fs.readFileSync(file);
  laptop.restart();
  await append(laptop, word('p-1', 'missed'));
  await all.meet(laptop, desktop);
  laptop.close();
  for (const one of [file, `${file}-wal`, `${file}-shm`]) fs.rmSync(one, { force: true });
  fs.writeFileSync(file, copy);
  laptop.restart();
  await append(laptop, word('p-2', 'missed'));
  await all.meet(laptop, desktop);
  expect(await passesOn(desktop)).toEqual(['p-1 missed', 'p-2 missed']);
  expect(await stateOf(laptop)).toEqual(await stateOf(desktop));
});
