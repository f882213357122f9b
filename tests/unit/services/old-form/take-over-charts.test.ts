// The charts of the earlier form become text files, whole and once; what was deleted can still be brought back.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { demoCharts } from '../../../../app/services/machine/demo-charts.ts';
import type { ServiceHost } from '../../../../app/services/machine/host.ts';
import { viewOf, openTestServices, sampleChart, temporaryDirectory } from '../samples.ts';

let root: string;
let host: ServiceHost;
beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => {
  host.close();
  fs.rmSync(root, { recursive: true, force: true });
});

const open = () => {
  host = openTestServices(root, { demoCharts });
  return viewOf(host);
};

it('takes charts over, names what is none, and keeps the old file', async () => {
  const items = [...demoCharts(), { id: 'strange', title: 'Odd One', melody: true }];
  const removed = [{ at: '2031-01-01T10:00:00Z', item: sampleChart('gone', { title: 'Gone' }) }];
  const text = JSON.stringify({ schemaVersion: 1, items, removed });
  fs.writeFileSync(path.join(root, 'charts.json'), text);
  const view = open();
  const library = await view.call('charts.list', {});
  expect(library.charts.map(({ id }) => id).sort()).toEqual(
    demoCharts()
      .map(({ id }) => id)
      .sort(),
  );
  expect(library.removed).toMatchObject([{ id: 'gone', title: 'Gone' }]);
  for (const chart of demoCharts()) {
    expect(await view.call('charts.open', { id: chart.id })).toEqual({ ok: true, value: chart });
  }
  const { problems } = await view.call('host.info', {});
  expect(problems).toMatchObject([{ code: 'document-not-understood' }]);
  expect(problems[0]!.message).toContain('Odd One');
  expect(fs.readFileSync(path.join(root, 'old-form', 'charts.json'), 'utf8')).toBe(text);
  host.close();
  expect((await open().call('host.info', {})).problems).toEqual([]);
});

it('begins again after a kill in the middle', async () => {
  const text = JSON.stringify({ schemaVersion: 1, items: demoCharts(), removed: [] });
  fs.writeFileSync(path.join(root, 'charts.json'), text);
  open();
  host.close();
  fs.renameSync(path.join(root, 'old-form', 'charts.json'), path.join(root, 'charts.json'));
  fs.rmSync(path.join(root, 'charts', fs.readdirSync(path.join(root, 'charts'))[0]!));
  expect((await open().call('charts.list', {})).charts).toHaveLength(demoCharts().length);
});
