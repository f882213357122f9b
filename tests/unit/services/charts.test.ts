// The library as a folder of text files: what others change is noticed and never overwritten, a bad file stops nothing.
import { execFileSync } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { readChartText, writeChartText } from '../../../app/core/chart/notation/chart-text.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import { ChartFolder } from '../../../app/services/machine/charts/chart-folder.ts';
import type { ServiceHost } from '../../../app/services/machine/host.ts';
import { takeFolder } from '../../../app/services/machine/store/data-folder.ts';
import { viewOf, openTestServices, sampleChart, temporaryDirectory } from './samples.ts';
import { soon } from '../../support/soon.ts';

let root: string;
let host: ServiceHost;
let view: Services;
beforeEach(() => {
  root = temporaryDirectory();
  host = openTestServices(root);
  view = viewOf(host);
});
afterEach(() => {
  host.close();
  fs.rmSync(root, { recursive: true, force: true });
});

const files = (): string[] => fs.readdirSync(path.join(root, 'charts')).sort();
const at = (name: string): string => path.join(root, 'charts', name);
const list = () => view.call('charts.list', {});
const save = (id: string, title: string) =>
  view.call('charts.save', { chart: sampleChart(id, { title }) });

describe('a chart’s file', () => {
  it('is the notation itself with a line that says which chart it is', async () => {
    const chart = sampleChart('k-1', { title: 'Harbour Lights' });
    await view.call('charts.save', { chart });
    expect(files()).toEqual(['Harbour Lights.chart.txt']);
    const text = fs.readFileSync(at('Harbour Lights.chart.txt'), 'utf8');
    expect(text.split('\n').slice(0, 2)).toEqual(['id: k-1', 'title: Harbour Lights']);
    expect(unwrap(readChartText(text, 'other'))).toEqual(chart);
  });

  it('follows the title, and two charts of one title stand side by side', async () => {
    await save('k-1', 'First');
    await save('k-2', 'First');
    expect(files()).toEqual(['First (2).chart.txt', 'First.chart.txt']);
    await save('k-1', 'Second: a/b?');
    expect(files()).toEqual(['First (2).chart.txt', 'Second a b.chart.txt']);
  });

  it('from another hand, without a line that says which it is, opens and is saved under its own', async () => {
    const [, ...lines] = writeChartText(sampleChart('x', { title: 'Typed' })).split('\n');
    fs.writeFileSync(at('Typed.chart.txt'), lines.join('\n'));
    const [listed] = (await list()).charts;
    expect(listed).toMatchObject({ title: 'Typed', tempo: { bpm: 90 }, sections: 1 });
    const chart = unwrap(await view.call('charts.open', { id: listed!.id }));
    await view.call('charts.save', { chart });
    expect(files()).toEqual(['Typed.chart.txt']);
    expect((await list()).charts.map(({ id }) => id)).toEqual([listed!.id]);
  });
});

describe('changes from outside', () => {
  it('are kept beside what is saved, and said', async () => {
    await save('k-1', 'Song');
    await view.call('charts.open', { id: 'k-1' });
    const theirs = writeChartText(
      sampleChart('k-1', { title: 'Song', tempo: { bpm: 70, beat: 'quarter' } }),
    );
    fs.writeFileSync(at('Song.chart.txt'), theirs);
    await save('k-1', 'Song');
    const { charts, problems } = await list();
    expect(problems).toMatchObject([{ code: 'chart-kept-both' }]);
    expect(charts).toHaveLength(2);
    expect(charts.find(({ copyOf }) => copyOf === 'k-1')).toMatchObject({ tempo: { bpm: 70 } });
    expect(fs.readFileSync(at(files().find((f) => f.includes('changed elsewhere'))!), 'utf8')).toBe(
      theirs,
    );
  });

  it('are told while the program runs', async () => {
    const told: string[] = [];
    host.listen((event) => told.push(event));
    fs.writeFileSync(at('New.chart.txt'), writeChartText(sampleChart('new', { title: 'New' })));
    await soon(() => expect(told).toContain('charts'));
  });

  it('made while the program was closed are told once, with the way back', async () => {
    await save('k-1', 'Song');
    host.close();
    const text = fs.readFileSync(at('Song.chart.txt'), 'utf8');
    fs.writeFileSync(at('Song.chart.txt'), text.replace('♩ = 90', '♩ = 70'));
    host = openTestServices(root);
    view = viewOf(host);
    expect((await list()).problems).toEqual([]);
    expect(unwrap(await view.call('charts.open', { id: 'k-1' })).tempo.bpm).toBe(70);
    const { problems } = await list();
    expect(problems).toMatchObject([{ code: 'chart-changed-elsewhere' }]);
    expect(problems[0]!.message).toContain('‘Song’');
    await view.call('charts.open', { id: 'k-1' });
    expect((await list()).problems).toEqual([]);
    await save('k-1', 'Song');
    await view.call('charts.open', { id: 'k-1' });
    expect((await list()).problems).toEqual([]);
  });

  it.each([
    'Song (conflicted copy 2031-04-05)',
    'Song.sync-conflict-20310405-120000-ABC',
    'Song 2',
  ])('that a syncing program kept as ‘%s’ are offered as another version', async (name) => {
    await save('k-1', 'Song');
    fs.copyFileSync(at('Song.chart.txt'), at(`${name}.chart.txt`));
    const { charts } = await list();
    expect(charts.map(({ copyOf }) => copyOf).sort()).toEqual(['k-1', undefined]);
    const copy = charts.find(({ copyOf }) => copyOf !== undefined)!;
    expect(await view.call('charts.remove', { id: copy.id })).toMatchObject({ ok: true });
    expect(files()).toEqual(['Song.chart.txt']);
  });
});

describe('a flipped bit', () => {
  it('in a chart’s file is told, though its text can be read: nothing has saved it since', async () => {
    await save('k-1', 'Song');
    host.close();
    const folder = takeFolder(root);
    const open = () =>
      new ChartFolder({
        folder,
        now: () => new Date(),
        newId: () => 'x',
        demo: () => [],
      });
    const before = open();
    await before.lookThrough(() => expect.fail('there is nothing to tell'));
    const file = at('Song.chart.txt');
    const { atime, mtime } = fs.statSync(file);
    fs.writeFileSync(file, fs.readFileSync(file, 'utf8').replace('♩ = 90', '♩ = 98'));
    fs.utimesSync(file, atime, mtime);
    const after = open();
    expect(unwrap(after.open('k-1')).tempo.bpm).toBe(98);
    expect(after.list().problems).toMatchObject([{ code: 'chart-changed-unseen' }]);
    expect(after.versionsOf('k-1').map(({ same }) => same)).toEqual([false]);
    folder.release();
    host = openTestServices(root);
  });
});

describe('a bad file', () => {
  it.each([
    ['with a mistake', 'id: bad\ntitle: Bad\ntempo: 90\n\n[Verse]\n| Hx7q |\n\nform:\nVerse\n'],
    ['that is empty', ''],
    ['of bytes', '\u0000\u0001\uFFFD'.repeat(500)],
    [
      'with a hostile chord',
      'id: bad\ntitle: constructor\ntempo: 90\n\n[Verse]\n| Gconstructor |\n\nform:\nVerse\n',
    ],
    [
      'of nested splits',
      `id: bad\ntitle: Deep\ntempo: 90\n\n[Verse]\n|${'G / C ('.repeat(40)}|\n\nform:\nVerse\n`,
    ],
  ])('%s stops nothing: it is listed with its mistake and opens as text', async (_, text) => {
    await save('good', 'Good');
    fs.writeFileSync(at('Bad.chart.txt'), text);
    host.close();
    host = openTestServices(root);
    view = viewOf(host);
    const bad = (await list()).charts.find(({ id }) => id !== 'good')!;
    expect(await view.call('charts.open', { id: bad.id })).toMatchObject({ ok: false });
    expect(unwrap(await view.call('charts.text', { id: bad.id }))).toBe(
      text.replace('id: bad\n', ''),
    );
    const again = await list();
    expect(again.charts.find(({ id }) => id === bad.id)).toMatchObject({ flawed: true });
    expect(again.problems[0]?.message).toContain('Bad.chart.txt');
    expect((await list()).problems).toEqual([]);
    expect(fs.readFileSync(at('Bad.chart.txt'), 'utf8')).toBe(text);
  });

  it.each([
    ['a folder', (file: string) => fs.mkdirSync(file), 'not a file'],
    ['a link to nothing', (file: string) => fs.symlinkSync('nowhere', file), 'not there'],
    ['a link to itself', (file: string) => fs.symlinkSync(file, file), 'a link'],
    ['a pipe', (file: string) => execFileSync('sh', ['-c', 'mkfifo "$0"', file]), 'not a file'],
  ])('%s among them is listed as one that cannot be read', async (_, make, why) => {
    await save('good', 'Good');
    make(at('Odd.chart.txt'));
    const { charts, problems } = await list();
    expect(charts.map(({ title }) => title)).toEqual(['Good', 'Odd']);
    const odd = charts[1]!;
    expect(odd).toMatchObject({ unreadable: true });
    expect(problems).toMatchObject([{ message: expect.stringContaining(why) as string }]);
    for (const name of ['charts.open', 'charts.text'] as const)
      expect(await view.call(name, { id: odd.id })).toMatchObject({ ok: false });
    // What is saved under its name goes beside it.
    const { ok } = await view.call('charts.save', { chart: sampleChart(odd.id, { title: 'Odd' }) });
    expect(ok).toBe(true);
    expect(fs.readdirSync(path.join(root, 'charts')).toSorted()).toEqual([
      'Good.chart.txt',
      'Odd (2).chart.txt',
      'Odd.chart.txt',
    ]);
    const saved = unwrap(await view.call('archives.save', {}));
    expect(saved.problems).toHaveLength(1);
  });

  it('texts and scores that are no charts by their names are told once, with the cure', async () => {
    await save('good', 'Good');
    for (const name of [
      'Old Road.txt',
      'LOUD.CHART.TXT',
      'Score.musicxml',
      'cover.png',
      '.notes.txt',
    ])
      fs.writeFileSync(at(name), 'title: Old Road\n');
    const { charts, problems } = await list();
    expect(charts.map(({ title }) => title)).toEqual(['Good']);
    expect(problems).toMatchObject([{ code: 'chart-not-taken' }]);
    expect(problems[0]!.message).toContain('‘LOUD.CHART.TXT’, ‘Old Road.txt’, ‘Score.musicxml’');
    expect(problems[0]!.cure).toContain('.chart.txt');
    expect((await list()).problems).toEqual([]);
    fs.writeFileSync(at('New Road.txt'), '');
    expect((await list()).problems[0]!.message).toContain('‘New Road.txt’ in your folder');
  });

  it('mistakes are found and told without anybody opening the files, what was changed last first', async () => {
    for (const id of ['a', 'b', 'c']) await save(id, `Song ${id}`);
    host.close();
    for (const [i, id] of ['a', 'b'].entries()) {
      fs.writeFileSync(at(`Song ${id}.chart.txt`), `id: ${id}\ntitle: Song ${id}\n`);
      fs.utimesSync(at(`Song ${id}.chart.txt`), 1.95e9 + i, 1.95e9 + i);
    }
    const folder = takeFolder(root);
    const charts = new ChartFolder({
      folder,
      now: () => new Date(),
      newId: () => 'x',
      demo: () => [],
    });
    const flawed = () => charts.list().charts.flatMap((one) => (one.flawed ? one.id : []));
    expect(flawed()).toEqual([]);
    const told: string[][] = [];
    await charts.lookThrough(() => told.push(flawed()));
    expect(told).toEqual([['b'], ['a', 'b']]);
    folder.release();
    host = openTestServices(root);
  });
});
