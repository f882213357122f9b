// A folder of the data folder that was replaced by a file: the program starts, and what does not hang on it works.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, expect, it } from 'vitest';
import { unwrap } from '../../app/core/base/result.ts';
import {
  openTestServices,
  passEntry,
  sampleChart,
  temporaryDirectory,
  viewOf,
} from '../unit/services/samples.ts';

const root = temporaryDirectory();
afterEach(() => fs.rmSync(root, { recursive: true, force: true }));

it.each([
  'removed-charts',
  'backups',
  'backups/charts',
  'backups/log',
  'backups/students.json',
  'set-aside',
  'archives',
  'recordings',
  'old-form',
])('%s', async (name) => {
  fs.mkdirSync(root, { recursive: true });
  const first = openTestServices(root);
  await viewOf(first).call('charts.save', { chart: sampleChart('k-1', { title: 'Song' }) });
  await viewOf(first).call('log.append', { entries: [passEntry('a')] as never });
  first.close();
  fs.rmSync(path.join(root, name), { recursive: true, force: true });
  fs.mkdirSync(path.dirname(path.join(root, name)), { recursive: true });
  fs.writeFileSync(path.join(root, name), 'no folder');
  const host = openTestServices(root);
  const view = viewOf(host);
  expect((await view.call('charts.list', {})).charts).toMatchObject([{ title: 'Song' }]);
  const chart = unwrap(await view.call('charts.open', { id: 'k-1' }));
  unwrap(await view.call('charts.save', { chart: { ...chart, title: 'Song again' } }));
  expect((await view.call('log.passes', {})).passes).toHaveLength(1);
  const { stored } = await view.call('log.append', { entries: [passEntry('b')] as never });
  expect(stored).toBe(1);
  await view.call('copies.missing', {});
  expect((await view.call('recordings.list', {})).all).toEqual([]);
  if (name !== 'archives') unwrap(await view.call('archives.save', {}));
  host.close();
  expect(fs.readFileSync(path.join(root, name), 'utf8')).toBe('no folder');
});
