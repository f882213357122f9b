// A data folder of the earlier form is taken over completely, once, also when it is killed in the middle.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { settle } from '../../../support/settle.ts';
import type { LogEntry } from '../../../../app/core/model/pass.ts';
import type { ServiceHost } from '../../../../app/services/machine/host.ts';
import { packLog } from '../../../support/old-form.ts';
import { viewOf, amendment, openTestServices, passEntry, temporaryDirectory } from '../samples.ts';

let root: string;
let host: ServiceHost | undefined;
beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => {
  host?.close();
  fs.rmSync(root, { recursive: true, force: true });
});

const april = [passEntry('a1'), passEntry('a2'), amendment('a1', '2031-05-02T10:00:00Z')];
const may = [passEntry('m1', { at: '2031-05-01T10:00:00.000+02:00' })];
const latest = [passEntry('j1', { at: '2031-05-03T10:00:00.000+02:00' })];

function writeOld(folder: string, months: Record<string, LogEntry[]>, journal: LogEntry[]): void {
  fs.mkdirSync(folder, { recursive: true });
  for (const [month, entries] of Object.entries(months)) {
    const text = JSON.stringify({ schemaVersion: 2, ...packLog(entries) });
    fs.writeFileSync(path.join(folder, `${month}.json`), text);
  }
  const lines = journal.flatMap((entry) =>
    entry.kind === 'pass'
      ? [
          { v: 1, unit: entry.unit },
          { v: 1, pass: entry.pass },
        ]
      : [],
  );
  fs.writeFileSync(
    path.join(folder, 'journal.jsonl'),
    lines.map((line) => `${JSON.stringify(line)}\n`).join(''),
  );
}

const open = () => {
  host = openTestServices(root);
  return viewOf(host);
};

it('takes months, journal and the logs of students over, and puts the old files away', async () => {
  writeOld(path.join(root, 'log'), { '2031-04': april, '2031-05': may }, latest);
  writeOld(path.join(root, 'logs', 'st-1'), { '2031-04': [passEntry('hers')] }, []);
  const view = open();
  expect((await view.call('log.passes', {})).passes).toEqual(settle([...april, ...may, ...latest]));
  const hers = await view.call('log.passes', { desk: 'st-1' });
  expect(hers.passes.map(({ id }) => id)).toEqual(['hers']);
  expect((await view.call('host.info', {})).problems).toEqual([]);
  expect(fs.existsSync(path.join(root, 'log'))).toBe(false);
  expect(fs.readdirSync(path.join(root, 'old-form', 'log')).sort()).toEqual([
    '2031-04.json',
    '2031-05.json',
    'journal.jsonl',
  ]);
  host!.close();
  expect((await open().call('log.passes', {})).passes).toHaveLength(4);
});

it('begins again where it was stopped, and counts nothing twice', async () => {
  writeOld(path.join(root, 'log'), { '2031-04': april, '2031-05': may }, latest);
  // As after a kill: some of it stands in the log already, the old files are at their place.
  const view = open();
  host!.close();
  fs.renameSync(path.join(root, 'old-form', 'log'), path.join(root, 'log'));
  expect((await open().call('log.passes', {})).passes).toHaveLength(4);
  expect(fs.existsSync(path.join(root, 'log'))).toBe(false);
  void view;
});

it('takes a broken month from its copy, and names a newer one and leaves all at its place', async () => {
  writeOld(path.join(root, 'log'), { '2031-04': april, '2031-05': may }, latest);
  const month = path.join(root, 'log', '2031-04.json');
  const copies = path.join(root, 'backups', 'log', '2031-04.json');
  fs.mkdirSync(copies, { recursive: true });
  fs.copyFileSync(month, path.join(copies, '2031-05-01.json'));
  fs.truncateSync(month, 100);
  fs.writeFileSync(path.join(root, 'log', '2031-06.json'), '{"schemaVersion":99}');
  const view = open();
  expect((await view.call('log.passes', {})).passes).toHaveLength(4);
  const codes = (await view.call('host.info', {})).problems.map(({ code }) => code);
  expect(codes).toEqual(['store-set-aside', 'store-newer']);
  expect(fs.existsSync(path.join(root, 'log', '2031-06.json'))).toBe(true);
});
