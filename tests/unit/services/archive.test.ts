// Everything in one file and back again, on another computer: nothing is written over, and it can be undone.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { writeChartText } from '../../../app/core/chart/notation/chart-text.ts';
import type { ArchiveChoice, ArchiveLook } from '../../../app/services/contract/archives.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type { ServiceHost } from '../../../app/services/machine/host.ts';
import { fullFlaw } from '../../../app/services/machine/log/check-log.ts';
import { record, soundOf, webm } from '../../support/recordings.ts';
import {
  amendment,
  openTestServices,
  passEntry,
  sampleChart,
  sampleLadder,
  temporaryDirectory,
  viewOf,
} from './samples.ts';

interface Computer {
  readonly root: string;
  readonly view: Services;
  readonly host: ServiceHost;
}

const computers: Computer[] = [];
function computer(): Computer {
  const root = temporaryDirectory();
  const host = openTestServices(root, { newId: () => crypto.randomUUID() });
  const view = viewOf(host);
  const made = { root, view, host };
  computers.push(made);
  return made;
}
afterEach(() => {
  for (const { host, root } of computers.splice(0)) {
    host.close();
    fs.rmSync(root, { recursive: true, force: true });
  }
});

async function saveAll(view: Services): Promise<Buffer> {
  const { bytes } = unwrap(await view.call('archives.save', {}));
  let whole = Buffer.alloc(0);
  while (whole.length < bytes) {
    const { base64 } = unwrap(await view.call('archives.part', { from: whole.length }));
    whole = Buffer.concat([whole, Buffer.from(base64, 'base64')]);
  }
  return whole;
}

const give = async (view: Services, archive: Buffer) => {
  unwrap(await view.call('archives.give', { from: 0, base64: archive.toString('base64') }));
  return view.call('archives.look', {});
};

const everything = (look: ArchiveLook): ArchiveChoice => ({
  charts: look.charts.filter(({ beside }) => beside !== 'same').map(({ name }) => name),
  days: look.days.map(({ desk, day }) => ({ desk, day })),
  documents: true,
  replace: false,
  recordings: true,
});

const passes = async (view: Services, desk?: string) =>
  (await view.call('log.passes', desk === undefined ? {} : { desk })).passes;

async function oldComputer(): Promise<Computer> {
  const old = computer();
  const { view } = old;
  await view.call('charts.save', { chart: sampleChart('k-1', { title: 'Harbour Lights' }) });
  await view.call('charts.save', { chart: sampleChart('k-2', { title: 'Töne & Stufen' }) });
  fs.writeFileSync(path.join(old.root, 'charts', 'Odd.chart.txt'), 'title: Odd\n| H?? |');
  await view.call('log.append', {
    entries: [
      passEntry('a', { at: '2031-04-05T18:20:00.000+02:00' }),
      passEntry('b', { at: '2031-04-06T18:20:00.000+02:00' }),
      amendment('b', '2031-04-07T08:00:00.000+02:00'),
    ],
  });
  await view.call('log.append', { desk: 'st-1', entries: [passEntry('c')] });
  await view.call('settings.write', { patch: { theme: 'dark', leftHanded: true } });
  await view.call('ladders.save', sampleLadder('k-1', 'form'));
  return old;
}

let old: Computer;
beforeEach(async () => {
  old = await oldComputer();
});

describe('on a new computer', () => {
  it('everything is there again', async () => {
    const fresh = computer();
    const look = unwrap(await give(fresh.view, await saveAll(old.view)));
    expect(look).toMatchObject({
      passes: 3,
      words: 1,
      freshHere: true,
      ladders: { fresh: 1, other: 0 },
      settings: { fresh: 2, other: 0 },
      problems: [],
    });
    expect(look.charts.map(({ title, beside }) => [title, beside])).toEqual([
      ['Harbour Lights', 'new'],
      ['Odd', 'new'],
      ['Töne & Stufen', 'new'],
    ]);
    const brought = unwrap(await fresh.view.call('archives.bringIn', everything(look)));
    expect(brought).toMatchObject({ charts: 3, passes: 3, documents: 3 });
    expect(await passes(fresh.view)).toEqual(await passes(old.view));
    expect(await passes(fresh.view, 'st-1')).toEqual(await passes(old.view, 'st-1'));
    expect(await fresh.view.call('log.days', {})).toEqual(await old.view.call('log.days', {}));
    expect(await fresh.view.call('ladders.list', {})).toEqual(
      await old.view.call('ladders.list', {}),
    );
    expect(await fresh.view.call('settings.read', {})).toEqual(
      await old.view.call('settings.read', {}),
    );
    for (const name of fs.readdirSync(path.join(old.root, 'charts'))) {
      const at = (root: string) => fs.readFileSync(path.join(root, 'charts', name), 'utf8');
      expect(at(fresh.root)).toBe(at(old.root));
    }
    expect(fullFlaw(fresh.host.log()!.database)).toBeUndefined();
  });

  it('bringing it in twice changes nothing more', async () => {
    const fresh = computer();
    const archive = await saveAll(old.view);
    const look = unwrap(await give(fresh.view, archive));
    await fresh.view.call('archives.bringIn', everything(look));
    const again = unwrap(await give(fresh.view, archive));
    expect(again).toMatchObject({
      days: [],
      words: 0,
      ladders: { fresh: 0, other: 0 },
      settings: { fresh: 0, other: 0 },
    });
    expect(again.charts.map(({ beside }) => beside)).toEqual(['same', 'same', 'same']);
  });
});

describe('beside what is here', () => {
  it('a chart that differs stands beside ours, and settings of ours stay', async () => {
    const here = computer();
    const ours = sampleChart('k-1', {
      title: 'Harbour Lights',
      tempo: { bpm: 50, beat: 'quarter' },
    });
    await here.view.call('charts.save', { chart: ours });
    await here.view.call('settings.write', { patch: { theme: 'light' } });
    const look = unwrap(await give(here.view, await saveAll(old.view)));
    expect(look.charts.find(({ title }) => title === 'Harbour Lights')?.beside).toBe('other');
    await here.view.call('archives.bringIn', everything(look));
    const { charts } = await here.view.call('charts.list', {});
    expect(charts.filter(({ id, copyOf }) => id === 'k-1' || copyOf === 'k-1')).toHaveLength(2);
    expect(unwrap(await here.view.call('charts.open', { id: 'k-1' }))).toEqual(ours);
    const { settings } = await here.view.call('settings.read', {});
    expect(settings).toMatchObject({ theme: 'light', leftHanded: true });
  });

  it('with the archive’s own taken where both differ, when that is chosen', async () => {
    const here = computer();
    await here.view.call('settings.write', { patch: { theme: 'light' } });
    const look = unwrap(await give(here.view, await saveAll(old.view)));
    await here.view.call('archives.bringIn', { ...everything(look), replace: true });
    expect((await here.view.call('settings.read', {})).settings.theme).toBe('dark');
    unwrap(await here.view.call('archives.undo', {}));
    const { settings } = await here.view.call('settings.read', {});
    expect(settings).toMatchObject({ theme: 'light', leftHanded: false });
  });

  it('one day alone comes with the words on its passes', async () => {
    const here = computer();
    await give(here.view, await saveAll(old.view));
    await here.view.call('archives.bringIn', {
      charts: [],
      days: [{ desk: 'self', day: '2031-04-06' }],
      documents: false,
      recordings: false,
      replace: false,
    });
    const [pass, ...others] = await passes(here.view);
    expect(pass).toMatchObject({ id: 'b', verdict: 'missed' });
    expect(others).toEqual([]);
  });
});

describe('undone', () => {
  it('all is as it was before, and what was played since stays', async () => {
    const here = computer();
    await here.view.call('charts.save', { chart: sampleChart('own', { title: 'Own' }) });
    await here.view.call('log.append', {
      entries: [passEntry('b', { at: '2031-04-06T18:20:00.000+02:00' })],
    });
    const look = unwrap(await give(here.view, await saveAll(old.view)));
    await here.view.call('archives.bringIn', {
      ...everything(look),
      days: [...everything(look).days, { desk: 'self', day: '2031-04-06' }],
    });
    expect((await passes(here.view)).find(({ id }) => id === 'b')?.verdict).toBe('missed');
    await here.view.call('log.append', { entries: [passEntry('since')] });
    here.host.close();

    const host = openTestServices(here.root);
    const view = viewOf(host);
    expect(await view.call('archives.last', {})).toMatchObject({ charts: 3, passes: 2 });
    expect(unwrap(await view.call('archives.undo', {}))).toEqual({ stayed: 0 });
    expect((await passes(view)).map(({ id, verdict }) => [id, verdict])).toEqual([
      ['since', 'clean'],
      ['b', 'clean'],
    ]);
    expect(await passes(view, 'st-1')).toEqual([]);
    expect((await view.call('charts.list', {})).charts.map(({ id }) => id)).toEqual(['own']);
    expect(await view.call('ladders.list', {})).toEqual([]);
    expect(fullFlaw(host.log()!.database)).toBeUndefined();
    expect(await view.call('archives.last', {})).toBeNull();
    host.close();
  });

  it('a chart that was changed since stays', async () => {
    const here = computer();
    const look = unwrap(await give(here.view, await saveAll(old.view)));
    await here.view.call('archives.bringIn', everything(look));
    const chart = unwrap(await here.view.call('charts.open', { id: 'k-1' }));
    await here.view.call('charts.save', { chart: { ...chart, capo: 3 } });
    expect(unwrap(await here.view.call('archives.undo', {}))).toEqual({ stayed: 1 });
    expect((await here.view.call('charts.list', {})).charts.map(({ id }) => id)).toEqual(['k-1']);
  });
});

describe('a file that is no archive, or a damaged one', () => {
  it('is refused in words, or what is whole in it is offered; nothing here is changed', async () => {
    const here = computer();
    const archive = await saveAll(old.view);
    const bad: Buffer[] = [
      Buffer.from('hello'),
      archive.subarray(0, archive.length / 2),
      archive.subarray(archive.length / 2),
      Buffer.alloc(4000),
    ];
    for (const file of bad) {
      const look = await give(here.view, file);
      expect(look).toMatchObject({ ok: false, problems: [{ code: 'archive-unreadable' }] });
    }
    // The table of contents is at the end: names and counts in it have no sum of their own.
    const contents = archive.length - 800;
    for (let at = 40; at < archive.length; at += at < contents ? 197 : 7) {
      const flipped = Buffer.from(archive);
      flipped[at]! ^= 1 << (at % 8);
      const look = await give(here.view, flipped);
      if (!look.ok) expect(look.problems[0]!.cure).toMatch(/\w/);
      else if (look.value.problems.length === 0) {
        expect(look.value).toMatchObject({
          passes: 3,
          ladders: { fresh: 1 },
          settings: { fresh: 2 },
        });
        expect(look.value.charts, `byte ${at}`).toHaveLength(3);
      }
    }
    expect((await here.view.call('charts.list', {})).charts).toEqual([]);
    expect(await passes(here.view)).toEqual([]);
  });
});

describe('the copies that are kept here', () => {
  it('bring back an earlier text of a chart, and the present one stays a copy', async () => {
    const { view } = old;
    const before = unwrap(await view.call('charts.open', { id: 'k-1' }));
    await view.call('charts.save', { chart: { ...before, capo: 5 } });
    const [copy] = await view.call('copies.ofChart', { id: 'k-1' });
    expect(copy).toMatchObject({ title: 'Harbour Lights', same: false });
    const text = unwrap(await view.call('copies.text', { id: 'k-1', at: copy!.at }));
    expect(`id: k-1\n${text}`).toBe(writeChartText(before));
    expect(unwrap(await view.call('copies.bringChart', { id: 'k-1', at: copy!.at }))).toEqual(
      before,
    );
    expect(unwrap(await view.call('charts.open', { id: 'k-1' }))).toEqual(before);
    const texts = await view.call('copies.ofChart', { id: 'k-1' });
    expect(texts.map(({ same }) => same).toSorted()).toEqual([false, true]);
  });

  it('name charts whose file another program deleted', async () => {
    const { view, root } = old;
    const chart = unwrap(await view.call('charts.open', { id: 'k-1' }));
    await view.call('charts.save', { chart: { ...chart, capo: 5 } });
    expect((await view.call('copies.missing', {})).charts).toEqual([]);
    fs.rmSync(path.join(root, 'charts', 'Harbour Lights.chart.txt'));
    const [lost] = (await view.call('copies.missing', {})).charts;
    const { id, at } = lost!;
    expect(lost).toMatchObject({ id: 'k-1', title: 'Harbour Lights' });
    expect(unwrap(await view.call('copies.bringChart', { id, at })).capo).toBe(0);
  });

  it('bring back a day that the log lost', async () => {
    const { view, host } = old;
    await host.log()!.backUp(new Date());
    expect((await view.call('copies.missing', {})).days).toEqual([]);
    host
      .log()!
      .database.exec(
        `delete from passes where id = 'a'; delete from tallies where day = '2031-04-05'`,
      );
    expect((await view.call('copies.missing', {})).days).toEqual([
      { desk: 'self', day: '2031-04-05', passes: 1 },
    ]);
    expect(unwrap(await view.call('copies.bringDay', { day: '2031-04-05' })).passes).toBe(1);
    expect((await passes(view)).map(({ id }) => id)).toEqual(['a', 'b']);
  });
});

describe('recordings', () => {
  const sounds = (root: string): string[] => {
    const folder = path.join(root, 'recordings');
    return fs.existsSync(folder) ? fs.readdirSync(folder).toSorted() : [];
  };
  const list = async (view: Services) => (await view.call('recordings.list', {})).all;

  it('are in it, come back byte by byte beside what is there, once, and go again where that is undone', async () => {
    const { note } = await record(old.view, webm(5_000));
    const fresh = computer();
    // Recorded in the same minute, so of the same name.
    const { note: mine } = await record(fresh.view, webm(80));
    const archive = await saveAll(old.view);
    const look = unwrap(await give(fresh.view, archive));
    expect([look.recordings, look.problems]).toEqual([1, []]);
    const brought = unwrap(await fresh.view.call('archives.bringIn', everything(look)));
    expect(brought).toMatchObject({ recordings: 1 });
    expect((await list(fresh.view)).map((one) => [one.note.id, one.state])).toEqual(
      expect.arrayContaining([
        [note.id, 'whole'],
        [mine.id, 'whole'],
      ]),
    );
    expect(await soundOf(fresh.view, note.id)).toEqual(webm(5_000));
    expect(unwrap(await give(fresh.view, archive)).recordings).toBe(0);
    unwrap(await fresh.view.call('archives.undo', {}));
    expect((await list(fresh.view)).map((one) => one.note.id)).toEqual([mine.id]);
    expect(sounds(fresh.root)).toHaveLength(2);
  });

  it('are left where they are not wanted; what is no sound stays out', async () => {
    await record(old.view, webm(500));
    const folder = path.join(old.root, 'recordings');
    const [sound] = sounds(old.root).filter((name) => name.endsWith('.webm'));
    const unwanted = computer();
    const look = unwrap(await give(unwanted.view, await saveAll(old.view)));
    const choice = { ...everything(look), recordings: false };
    unwrap(await unwanted.view.call('archives.bringIn', choice));
    expect(sounds(unwanted.root)).toEqual([]);

    fs.writeFileSync(path.join(folder, sound!), '<script>');
    const fresh = computer();
    const other = unwrap(await give(fresh.view, await saveAll(old.view)));
    const brought = unwrap(await fresh.view.call('archives.bringIn', everything(other)));
    expect([brought.recordings, sounds(fresh.root)]).toEqual([0, []]);
  });
});
