// The machine side answers every call of the contract, refuses what is malformed, and keeps what it was given.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { writeChartFile } from '../../support/chart-file.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import { calls } from '../../../app/services/contract/contract.ts';
import type { ServiceHost } from '../../../app/services/machine/host.ts';
import {
  openTestServices,
  passEntry,
  sampleChart,
  sampleLadder,
  samplePass,
  temporaryDirectory,
  viewOf,
} from './samples.ts';

let root: string;
let host: ServiceHost;
let view: Services;

beforeEach(() => {
  root = temporaryDirectory();
  open([sampleChart('demo')]);
});
afterEach(() => {
  host.close();
  fs.rmSync(root, { recursive: true, force: true });
});

function open(demoCharts: readonly Chart[] = []): void {
  host = openTestServices(root, { demoCharts: () => demoCharts });
  view = viewOf(host);
}

function reopen(demoCharts: readonly Chart[] = []): void {
  host.close();
  open(demoCharts);
}

const titles = async (): Promise<string[]> =>
  (await view.call('charts.list', {})).charts.map((chart) => chart.title);

describe('charts', () => {
  it('start with the demo charts, in a new data directory only', async () => {
    expect(await titles()).toEqual(['Demo']);
    await view.call('charts.remove', { id: 'demo' });
    reopen([sampleChart('demo')]);
    expect(await titles()).toEqual([]);
  });

  it('are saved, replaced by id, removed and brought back', async () => {
    await view.call('charts.save', { chart: sampleChart('mine', { title: 'First' }) });
    await view.call('charts.save', { chart: sampleChart('mine', { title: 'Second' }) });
    expect(await titles()).toEqual(['Demo', 'Second']);
    await view.call('charts.remove', { id: 'mine' });
    reopen();
    const library = await view.call('charts.list', {});
    expect(library.charts.map((c) => c.id)).toEqual(['demo']);
    expect(library.removed).toMatchObject([{ id: 'mine', title: 'Second' }]);
    await view.call('charts.restore', { id: 'mine' });
    expect(await titles()).toEqual(['Demo', 'Second']);
  });

  it('that break a rule are refused with the place, and the library stays as it was', async () => {
    const chart = sampleChart('bad', { form: [{ section: 'Nowhere', times: 1 }] });
    const answer = await view.call('charts.save', { chart });
    expect(answer.ok ? [] : answer.problems.map((p) => p.message).join()).toContain('Nowhere');
    expect(await titles()).toEqual(['Demo']);
  });

  it('come in from a file; one whose id is taken becomes a chart of its own', async () => {
    const text = writeChartFile(sampleChart('demo', { title: 'From a friend' }));
    const answer = await view.call('charts.import', { text });
    expect(answer).toMatchObject({ ok: true, value: { title: 'From a friend' } });
    expect(await titles()).toEqual(['Demo', 'From a friend']);
    const same = await view.call('charts.import', { text: writeChartFile(sampleChart('demo')) });
    expect(same).toMatchObject({ ok: true, value: { id: 'demo' } });
    expect(await titles()).toHaveLength(2);
  });

  it.each(['remove', 'restore'] as const)('%s names an id that is not there', async (action) => {
    const answer = await view.call(`charts.${action}`, { id: 'gone' });
    expect(answer).toMatchObject({ ok: false, problems: [{ code: 'not-there' }] });
  });
});

describe('ladders', () => {
  it('are kept per chart and unit', async () => {
    await view.call('ladders.save', sampleLadder('demo', 'section:Verse'));
    await view.call('ladders.save', sampleLadder('demo', 'form'));
    await view.call('ladders.save', sampleLadder('demo', 'form', { start: 50 }));
    reopen();
    const ladders = await view.call('ladders.list', {});
    expect(ladders.map((l) => [l.unit, l.rules.start])).toEqual([
      ['section:Verse', 60],
      ['form', 50],
    ]);
  });

  it('of version 0.1 are found by the words of today', async () => {
    await view.call('ladders.save', sampleLadder('demo', 'seam:0:1+1'));
    const ladders = await view.call('ladders.list', {});
    expect(ladders.map(({ unit }) => unit)).toEqual(['join:0:1+1']);
  });

  it('with a tempo outside 20–400 are refused', async () => {
    await expect(
      view.call('ladders.save', sampleLadder('demo', 'form', { start: 12 })),
    ).rejects.toThrow(/rules\.start/);
  });
});

describe('the log', () => {
  it('is stored when it says so', async () => {
    const answer = await view.call('log.append', { entries: [passEntry('a')] });
    expect(answer).toEqual({ stored: 1, pending: 0 });
    reopen();
    expect((await view.call('log.passes', {})).passes).toEqual([samplePass('a')]);
    const bars = await view.call('log.bars', { fingerprints: ['f-verse', 'f-other'] });
    expect(bars.map(({ fingerprint }) => fingerprint)).toEqual(['f-verse']);
  });

  it('refuses bars that are not those of the pass', async () => {
    const entry = { ...passEntry('a'), unit: { fingerprint: 'other', bars: [] } };
    await expect(view.call('log.append', { entries: [entry as never] })).rejects.toThrow(
      /fingerprints differ/,
    );
  });
});

describe('the desk', () => {
  const student = {
    id: 'st-1',
    name: 'Odalys',
    since: '2031-01-01T00:00:00Z',
    assignments: [],
    comments: [],
  };

  it('keeps students, and their logs apart from the player’s own', async () => {
    await view.call('students.save', { student });
    await view.call('log.append', { entries: [passEntry('hers')], desk: 'st-1' });
    await view.call('log.append', { entries: [passEntry('hers'), passEntry('new')], desk: 'st-1' });
    await view.call('log.append', { entries: [passEntry('mine')] });
    reopen();
    expect((await view.call('students.list', {})).students).toEqual([student]);
    const idsOf = async (desk?: string) =>
      (await view.call('log.passes', desk ? { desk } : {})).passes.map((pass) => pass.id);
    expect(await idsOf()).toEqual(['mine']);
    expect(await idsOf('st-1')).toEqual(['hers', 'new']);
    await view.call('students.remove', { id: 'st-1' });
    await view.call('students.restore', { id: 'st-1' });
    expect(await idsOf('st-1')).toEqual(['hers', 'new']);
  });

  it('lets no id out of its folder', async () => {
    await expect(view.call('log.passes', { desk: '../../elsewhere' })).rejects.toThrow(/desk/);
  });
});

describe('settings', () => {
  it('have usual values, keep what was chosen and what they do not know', async () => {
    const { settings } = await view.call('settings.read', {});
    expect(settings).toMatchObject({ theme: 'system', masterLevel: 0.25, leftHanded: false });
    await view.call('settings.write', { patch: { leftHanded: true } });
    fs.writeFileSync(
      path.join(root, 'settings.json'),
      JSON.stringify({ schemaVersion: 1, leftHanded: true, fromTheFuture: { a: 1 } }),
    );
    reopen();
    await view.call('settings.write', { patch: { theme: 'dark' } });
    const file = JSON.parse(fs.readFileSync(path.join(root, 'settings.json'), 'utf8')) as object;
    expect(file).toMatchObject({ theme: 'dark', leftHanded: true, fromTheFuture: { a: 1 } });
  });

  it('name a bad value and go on with the usual one', async () => {
    fs.writeFileSync(
      path.join(root, 'settings.json'),
      JSON.stringify({ schemaVersion: 1, theme: 'plaid', leftHanded: true }),
    );
    reopen();
    const read = await view.call('settings.read', {});
    expect(read.settings).toMatchObject({ theme: 'system', leftHanded: true });
    expect(read.problems[0]?.message).toContain('‘theme’');
  });

  it('cannot change the version of their own file', async () => {
    await view.call('settings.write', { patch: { schemaVersion: 99 } as never });
    reopen();
    expect((await view.call('host.info', {})).problems).toEqual([]);
  });
});

describe('the data directory', () => {
  it('serves one program at a time and is free again afterwards', () => {
    expect(() => openTestServices(root)).toThrow(/already running.*--data DIR/);
    host.close();
    open();
  });
});

describe('every call', () => {
  const hostile: readonly unknown[] = [
    undefined,
    null,
    7,
    'text',
    [],
    { __proto__: { id: 'x' } },
    JSON.parse('{"__proto__":{"polluted":true},"id":{"__proto__":1}}'),
    { id: 'x'.repeat(100_000) },
    { entries: 'many' },
    { entries: [{ kind: 'pass' }] },
    { patch: { levels: { bar: 7 } } },
    { url: 'javascript:alert(1)' },
    { text: '['.repeat(200_000) },
    { chart: JSON.parse('['.repeat(5000) + ']'.repeat(5000)) },
  ];

  it.each(Object.keys(calls))('%s answers hostile input without throwing', async (name) => {
    for (const input of hostile) {
      const envelope = await host.handle(name, input);
      expect(typeof envelope.ok).toBe('boolean');
      if (!envelope.ok) expect(envelope.problems[0]?.cure).toBeTruthy();
    }
    expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
  });
});
