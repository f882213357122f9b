// The files of the built view: what each way into it loads, followed from file to file.
import fs from 'node:fs';
import path from 'node:path';
import { expect, test } from './host.ts';

const view = process.env['RUNGWISE_TEST_VIEW']!;
const assets = path.join(view, 'assets');

const codeOf = (file: string): string => fs.readFileSync(path.join(assets, file), 'utf8');
/** Without its hash. */
const plainName = (file: string): string => file.replace(/-[\w-]{8}\.js$/, '');

/** Names without their hashes of all scripts that come along with these. */
function loadedWith(files: readonly string[]): string[] {
  const all = new Set(files);
  // A set grows while it is walked.
  for (const file of all) {
    for (const [, next] of codeOf(file).matchAll(/(?:from|import)"\.\/([^"]+\.js)"/g))
      all.add(next!);
  }
  return [...all].map(plainName).sort();
}

const scripts = (): string[] => fs.readdirSync(assets).filter((file) => file.endsWith('.js'));
const rooms = (): string[] => scripts().filter((name) => name.startsWith('room-'));

test('the first screen loads no room but its own, and no sound', () => {
  const page = fs.readFileSync(path.join(view, 'index.html'), 'utf8');
  const named = [...page.matchAll(/assets\/([^"]+\.js)"/g)].map(([, file]) => file!);
  expect(loadedWith(named)).toEqual(['common', 'first', 'rolldown-runtime']);
});

test('a room loads nothing of another', () => {
  expect(rooms().length).toBeGreaterThan(5);
  for (const room of rooms()) {
    expect(loadedWith([room]).filter((name) => name.startsWith('room-'))).toHaveLength(1);
  }
});

/** Within each schema that is made with zod. */
const SCHEMA = '._zod';

test('no room waits for what checks files from outside', () => {
  const checks = scripts()
    .filter((file) => codeOf(file).includes(SCHEMA))
    .map(plainName);
  expect(checks).not.toEqual([]);
  for (const room of rooms()) {
    expect(loadedWith([room]).filter((name) => checks.includes(name))).toEqual([]);
  }
});

for (const thread of ['analysis.worker', 'file-worker']) {
  test(`the thread ${thread} loads nothing that draws`, () => {
    const [file] = scripts().filter((name) => name.startsWith(thread));
    expect(loadedWith([file!])).toEqual([thread, 'common', 'rolldown-runtime', 'threads'].sort());
  });
}

test('what the audio thread runs needs no other file', () => {
  const [file] = scripts().filter((name) => name.startsWith('tap'));
  expect(loadedWith([file!])).toEqual(['tap']);
});
