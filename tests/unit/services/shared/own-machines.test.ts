// Two machines of one player: joined by a code that is typed, alike after a sync; what others write never mixes in.
import fs from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { eachInAWorld } from '../../../support/machines/each-in-a-world.ts';
import { carry, type Machine, stateOf, SURE } from '../../../support/machines/own-machines.ts';
import { twoOfAPlayer } from '../../../support/machines/two-of-a-player.ts';
import { isoTimeOf } from '../../../../app/core/base/iso-time.ts';
import { amendment, passEntry, sampleChart } from '../samples.ts';

const all = eachInAWorld(7);
const { meet } = all;
const machine = (name: string, at = '2031-04-05T18:20:00Z'): Machine => all.machine(name, at);

const two = (): Promise<readonly [Machine, Machine]> => twoOfAPlayer(all);
const missingOn = async (one: Machine): Promise<number> =>
  ((await one.call('shared.read', {})).missing ?? []).flatMap(({ numbers }) => numbers).length;
const chartsOf = async (one: Machine): Promise<readonly string[]> =>
  (await one.call('charts.list', {})).charts.map(({ title }) => title);

describe('two machines of one player', () => {
  it('join by a code that is typed, and by nothing else', async () => {
    const [laptop] = await two();
    const stranger = machine('stranger');
    carry(laptop.folder, stranger.folder, SURE, all.world.random);
    expect(await stranger.call('shared.own', { kind: 'begin', machine: 'X' })).toMatchObject({
      problems: [{ code: 'no-shared-folder' }],
    });
    await stranger.done('shared.choose', { folder: stranger.folder });
    for (const code of ['ACDE-FGHJ', 'no code'])
      expect(await stranger.call('shared.own', { kind: 'join', machine: 'X', code })).toMatchObject(
        {
          ok: false,
        },
      );
    await laptop.call('log.append', { entries: [passEntry('p-1')] });
    await stranger.call('log.append', { entries: [passEntry('q-1')] });
    await meet(laptop, stranger);
    await stranger.done('shared.own', { kind: 'begin', machine: 'Mine' });
    await meet(laptop, stranger);
    expect((await stranger.call('log.passes', {})).passes.map(({ id }) => id)).toEqual(['q-1']);
    expect((await laptop.call('log.passes', {})).passes.map(({ id }) => id)).toEqual(['p-1']);
  });

  it('have one log, the last word on a pass by who knew of the other, not by the clock', async () => {
    const [laptop, desktop] = await two();
    await laptop.call('log.append', { entries: [passEntry('p-1'), passEntry('p-2')] });
    const word = (verdict: 'clean' | 'missed', at: string) => ({
      kind: 'amendment' as const,
      amendment: { amends: 'p-1', at, verdict, source: 'self' as const },
    });
    await laptop.call('log.append', { entries: [word('missed', '2031-04-05T18:21:00Z')] });
    await meet(laptop, desktop);
    // Its clock is thirty years behind.
    await desktop.call('log.append', {
      entries: [passEntry('d-1'), word('clean', '1999-01-01T00:00:00Z')],
    });
    await desktop.call('log.append', { entries: [amendment('p-2', '2031-04-06T10:00:00Z')] });
    await meet(laptop, desktop);
    const { passes } = await laptop.call('log.passes', {});
    expect(passes.map(({ id, verdict }) => `${id} ${verdict}`).toSorted()).toEqual([
      'd-1 clean',
      'p-1 clean',
      'p-2 missed',
    ]);
    expect(await stateOf(laptop)).toEqual(await stateOf(desktop));
  });

  it('keep both versions of a chart that was changed on both, and say so', async () => {
    const [laptop, desktop] = await two();
    await laptop.done('charts.save', { chart: sampleChart('k-1', { title: 'Low Tide' }) });
    await meet(laptop, desktop);
    expect(await chartsOf(desktop)).toEqual(['Low Tide']);
    const tempo = (bpm: number) => ({ bpm, beat: 'quarter' as const });
    await laptop.done('charts.save', {
      chart: sampleChart('k-1', { title: 'Low Tide', tempo: tempo(70) }),
    });
    await desktop.done('charts.save', {
      chart: sampleChart('k-1', { title: 'Low Tide', tempo: tempo(110) }),
    });
    await laptop.call('shared.sync', {});
    carry(laptop.folder, desktop.folder, SURE, all.world.random);
    const came = await desktop.call('shared.sync', {});
    expect(came.both).toEqual(['Low Tide (from Laptop)']);
    await meet(laptop, desktop);
    expect(await chartsOf(laptop)).toEqual(['Low Tide', 'Low Tide (from Laptop)']);
    expect(await stateOf(laptop)).toEqual(await stateOf(desktop));
    // One that is thrown away is gone on both, and stays gone.
    const { charts } = await laptop.call('charts.list', {});
    await laptop.done('charts.remove', { id: charts.find(({ id }) => id !== 'k-1')!.id });
    await meet(laptop, desktop);
    expect(await chartsOf(desktop)).toEqual(['Low Tide']);
    await meet(laptop, desktop);
    expect(await stateOf(laptop)).toEqual(await stateOf(desktop));
  });

  it('understand each other whatever year their clocks show', async () => {
    const clocks = ['-000044-03-15T12:00:00Z', '+012026-01-01T00:00:00Z', '2031-04-05T18:20:00Z'];
    const [first, ...others] = clocks.map((clock, i) => machine(`m${i}`, clock));
    await first!.done('shared.choose', { folder: first!.folder });
    await first!.done('shared.own', { kind: 'begin', machine: 'First' });
    const { code } = (await first!.call('shared.read', {})).own!;
    for (const one of others) {
      carry(first!.folder, one.folder, SURE, all.world.random);
      await one.done('shared.choose', { folder: one.folder });
      await one.done('shared.own', { kind: 'join', machine: one.name, code });
    }
    const everybody = [first!, ...others];
    for (const one of everybody) {
      await one.call('log.append', {
        entries: [passEntry(one.name, { at: isoTimeOf(one.now()) })],
      });
      await one.done('charts.save', { chart: sampleChart(`k-${one.name}`, { title: one.name }) });
    }
    await meet(...everybody);
    for (const one of everybody) {
      expect(await chartsOf(one)).toEqual(['m0', 'm1', 'm2']);
      const { passes } = await one.call('log.passes', {});
      expect(passes.map(({ id, at }) => `${id} ${at.slice(0, 10)}`)).toEqual([
        ...['m0 0000-01-02', 'm2 2031-04-05', 'm1 9999-12-30'],
      ]);
      expect((await one.call('shared.read', {})).flawed ?? []).toEqual([]);
    }
  });

  it('have one order for what was played and said at the very same moment', async () => {
    const [laptop, desktop] = await two();
    const at = '9999-12-30T23:59:59.999Z';
    for (const [one, ids] of [
      [laptop, ['b', 'd']],
      [desktop, ['a', 'c']],
    ] as const) {
      for (const id of ids) await one.call('log.append', { entries: [passEntry(id, { at })] });
      const own = { id: 'self', name: 'Ada', since: at, assignments: [] };
      const comments = ids.map((id) => ({ id, at, by: 'Ada', text: id }));
      await one.done('students.save', { student: { ...own, comments } });
    }
    await meet(laptop, desktop);
    for (const one of [laptop, desktop]) {
      const { passes } = await one.call('log.passes', {});
      expect(passes.map(({ id }) => id)).toEqual(['a', 'b', 'c', 'd']);
      const latest = await one.call('log.passes', { latest: 2 });
      expect(latest.passes.map(({ id }) => id)).toEqual(['c', 'd']);
      const [desk] = (await one.call('students.list', {})).students;
      expect(desk!.comments.map(({ id }) => id)).toEqual(['a', 'b', 'c', 'd']);
    }
  });

  it('leave devices, delays and loudness where they are', async () => {
    const [laptop, desktop] = await two();
    const here = { masterLevel: 0.9, inputDevice: 'Box', theme: 'dark' as const };
    await laptop.call('settings.write', {
      patch: { ...here, leftHanded: true, queue: [{ id: 'q-1' }] },
    });
    await meet(laptop, desktop);
    const { settings } = await desktop.call('settings.read', {});
    expect(settings).toMatchObject({
      ...{ leftHanded: true, queue: [{ id: 'q-1' }] },
      ...{ masterLevel: 0.25, inputDevice: '' },
    });
    const texts = fs
      .readdirSync(laptop.folder, { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.rungshare'))
      .map((name) => fs.readFileSync(path.join(laptop.folder, name), 'utf8'));
    expect(texts.join('')).not.toContain('Box');
  });

  it('wait for a file that is missing, say so, and take it in when it comes', async () => {
    const [laptop, desktop] = await two();
    for (const n of [1, 2, 3]) {
      await laptop.call('log.append', { entries: [passEntry(`p-${n}`)] });
      await laptop.call('shared.sync', {});
    }
    carry(laptop.folder, desktop.folder, SURE, all.world.random);
    const own = fs
      .readdirSync(desktop.folder, { recursive: true, encoding: 'utf8' })
      .filter((name) => path.basename(name).startsWith('000003-'));
    const late = own.map((name) => path.join(desktop.folder, name));
    const texts = late.map((file) => fs.readFileSync(file));
    late.forEach((file) => fs.rmSync(file));
    await desktop.call('shared.sync', {});
    expect((await desktop.call('shared.read', {})).missing).toMatchObject([
      {
        whose: { kind: 'own', machine: 'Laptop' },
        ...{ numbers: [3], since: isoTimeOf(desktop.now()) },
        ...{ after: isoTimeOf(laptop.now()), before: isoTimeOf(laptop.now()) },
      },
    ]);
    expect((await desktop.call('log.passes', {})).passes).toHaveLength(2);
    late.forEach((file, i) => fs.writeFileSync(file, texts[i]!));
    await desktop.call('shared.sync', {});
    expect(await missingOn(desktop)).toBe(0);
    expect((await desktop.call('log.passes', {})).passes).toHaveLength(3);
  });

  it('tell only what is new, in files of a bounded size', async () => {
    const [laptop] = await two();
    const entries = Array.from({ length: 2_500 }, (_, i) => passEntry(`p-${i}`));
    await laptop.call('log.append', { entries });
    await laptop.call('shared.sync', {});
    const before = await laptop.call('shared.read', {});
    const sizes = before.written.map((one) => fs.statSync(path.join(laptop.folder, one.file)).size);
    expect(Math.max(...sizes)).toBeLessThan(1_100_000);
    expect(sizes.length).toBeGreaterThan(4);
    await laptop.call('log.append', { entries: [passEntry('new')] });
    await laptop.call('shared.sync', {});
    await laptop.call('shared.sync', {});
    const after = await laptop.call('shared.read', {});
    expect(after.written).toHaveLength(before.written.length + 1);
    expect(after.written.at(-1)).toMatchObject({ records: 2 });
  });

  it('gather many small files into few, and nobody misses any of them', async () => {
    const [laptop, desktop] = await two();
    await laptop.done('charts.save', { chart: sampleChart('k-1', { title: 'Low Tide' }) });
    for (let n = 1; n <= 60; n++) {
      await laptop.call('log.append', { entries: [passEntry(`p-${n}`)] });
      await laptop.call('settings.write', { patch: { breakReminderMinutes: 5 + n } });
      await laptop.call('shared.sync', {});
      // What was small before is brought back by a syncing program, and goes again.
      if (n === 20) carry(laptop.folder, all.world.hub, SURE, all.world.random);
    }
    const { written, writers } = await laptop.call('shared.read', {});
    expect(written.length).toBeLessThan(30);
    expect(writers.every(({ missing }) => missing.length === 0)).toBe(true);
    carry(all.world.hub, laptop.folder, SURE, all.world.random);
    await laptop.call('shared.sync', {});
    expect((await laptop.call('shared.read', {})).written.length).toBeLessThan(30);
    await meet(laptop, desktop);
    expect(await missingOn(desktop)).toBe(0);
    expect((await desktop.call('log.passes', {})).passes).toHaveLength(60);
    expect(await stateOf(laptop)).toEqual(await stateOf(desktop));
  });

  it('bring back what a log lost that was made anew', async () => {
    const [laptop, desktop] = await two();
    await laptop.call('log.append', { entries: [passEntry('p-1'), passEntry('p-2')] });
    await desktop.call('log.append', { entries: [passEntry('d-1')] });
    await meet(laptop, desktop);
    laptop.close();
    for (const end of ['', '-wal', '-shm'])
      fs.rmSync(path.join(laptop.data, `log.sqlite${end}`), { force: true });
    laptop.restart();
    await laptop.call('log.append', { entries: [passEntry('p-3')] });
    await meet(laptop, desktop);
    for (const one of [laptop, desktop])
      expect((await one.call('log.passes', {})).passes.map(({ id }) => id).toSorted()).toEqual([
        ...['d-1', 'p-1', 'p-2', 'p-3'],
      ]);
  });

  it('tell again what was destroyed in every folder before the other had it, and nobody waits', async () => {
    const [laptop, desktop] = await two();
    await meet(laptop, desktop);
    await laptop.call('log.append', { entries: [passEntry('p-1')] });
    await laptop.done('charts.save', { chart: sampleChart('k-1', { title: 'Low Tide' }) });
    await laptop.call('shared.sync', {});
    const told = (await laptop.call('shared.read', {})).written.slice(-2);
    await laptop.call('log.append', { entries: [passEntry('p-2')] });
    await laptop.call('shared.sync', {});
    for (const { file } of told) fs.rmSync(path.join(laptop.folder, file));
    carry(laptop.folder, desktop.folder, SURE, all.world.random);
    await desktop.call('shared.sync', {});
    expect(await missingOn(desktop)).toBeGreaterThan(0);
    for (let look = 0; look < 4; look++) await laptop.call('shared.sync', {});
    await meet(laptop, desktop);
    expect(await missingOn(desktop)).toBe(0);
    expect((await desktop.call('log.passes', {})).passes).toHaveLength(2);
    expect(await chartsOf(desktop)).toEqual(['Low Tide']);
    expect(await stateOf(laptop)).toEqual(await stateOf(desktop));
    // Once is enough; and a machine that comes later has all of it, too.
    const before = (await laptop.call('shared.read', {})).written;
    for (let look = 0; look < 5; look++) await laptop.call('shared.sync', {});
    expect((await laptop.call('shared.read', {})).written).toEqual(before);
  });

  it('tell again what was destroyed, also where what says so is destroyed in its turn, and nobody waits', async () => {
    const [laptop, desktop] = await two();
    await meet(laptop, desktop);
    const written = async () => (await laptop.call('shared.read', {})).written;
    const destroy = (files: readonly { readonly file: string }[]): void =>
      files.forEach(({ file }) => fs.rmSync(path.join(laptop.folder, file)));
    const playOn = async (id: string): Promise<void> => {
      await laptop.call('log.append', { entries: [passEntry(id)] });
      await laptop.call('shared.sync', {});
    };
    await playOn('p-1');
    const first = (await written()).slice(-1);
    await playOn('p-2');
    destroy(first);
    const before = (await written()).length;
    for (const id of ['p-3', 'p-4', 'p-5']) await playOn(id);
    // The third tells p-1 again, in one file with its own, and that nobody has to wait for where it stood.
    expect(await written()).toHaveLength(before + 4);
    destroy((await written()).slice(-2));
    await playOn('p-6');
    for (let look = 0; look < 4; look++) await laptop.call('shared.sync', {});
    carry(laptop.folder, desktop.folder, SURE, all.world.random);
    await desktop.call('shared.sync', {});
    expect(await missingOn(desktop)).toBe(0);
    expect((await desktop.call('log.passes', {})).passes).toHaveLength(6);
  });

  it('part again: what came stays, and what was written goes if that is wanted', async () => {
    const [laptop, desktop] = await two();
    await laptop.call('log.append', { entries: [passEntry('p-1')] });
    await meet(laptop, desktop);
    await laptop.done('shared.own', { kind: 'leave', empty: true });
    const { own, written } = await laptop.call('shared.read', {});
    expect([own, written]).toEqual([undefined, []]);
    expect((await desktop.call('log.passes', {})).passes).toHaveLength(1);
    await desktop.call('log.append', { entries: [passEntry('d-1')] });
    await meet(laptop, desktop);
    expect((await laptop.call('log.passes', {})).passes).toHaveLength(1);
  });
});
