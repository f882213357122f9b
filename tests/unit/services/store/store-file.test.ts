// A store file is checked before it is opened; what cannot be understood is set aside and restored from its backup.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { FileKind } from '../../../../app/services/machine/store/store-file.ts';
import { openStoreFile } from '../../../../app/services/machine/store/store-file.ts';
import { engine, keepingAt, temporaryDirectory } from '../samples.ts';

interface Shopping {
  readonly strings: readonly string[];
}

/** Version 1 kept one text; version 2 keeps a list. */
const shopping: FileKind<Shopping> = {
  what: 'the shopping list',
  schemaVersion: 2,
  migrations: [({ text }) => ({ strings: String(text).split(', ') })],
  flaw: ({ strings }) => (Array.isArray(strings) ? undefined : '‘strings’ is not a list'),
  empty: () => ({ strings: [] }),
};

let root: string;
let file: string;
beforeEach(() => {
  root = temporaryDirectory();
  file = path.join(root, 'shopping.json');
});
afterEach(() => fs.rmSync(root, { recursive: true, force: true }));

const open = (at?: string) => openStoreFile(file, shopping, engine, keepingAt(root, at));
const listing = (folder: string): string[] => {
  const full = path.join(root, folder);
  return fs.existsSync(full) ? fs.readdirSync(full, { recursive: true }).map(String).sort() : [];
};
const saved = { strings: ['E', 'A'] };

describe('a store file', () => {
  it('starts empty, without problems, and gives back what was saved', () => {
    expect(open()).toMatchObject({ value: { strings: [] }, problems: [], writable: true });
    open().save(saved);
    expect(open()).toMatchObject({ value: saved, problems: [] });
    expect(JSON.parse(fs.readFileSync(file, 'utf8'))).toEqual({
      ...saved,
      schemaVersion: 2,
      checkSum: expect.stringMatching(/^[0-9a-f]{8}$/),
    });
  });

  it('migrates an older form by pure steps and keeps its backup as it was', () => {
    fs.writeFileSync(file, JSON.stringify({ schemaVersion: 1, text: 'E, A' }));
    expect(open('2031-04-05T10:00:00Z').value).toEqual(saved);
    const backup = path.join(root, 'backups', 'shopping.json', '2031-04-05.json');
    expect(JSON.parse(fs.readFileSync(backup, 'utf8'))).toEqual({ schemaVersion: 1, text: 'E, A' });
  });

  it('refreshes the dated backup only after a successful load, and keeps seven days', () => {
    open().save(saved);
    for (let day = 10; day < 20; day++) {
      const later = new Date(`2031-04-${day}T10:00:00Z`);
      fs.utimesSync(file, later, later);
      open(later.toISOString());
      // A copy carries the time of copying; the test's clock is ahead of the machine's.
      const backup = path.join(root, 'backups', 'shopping.json', `2031-04-${day}.json`);
      fs.utimesSync(backup, later, later);
    }
    expect(listing('backups/shopping.json')).toEqual(
      [13, 14, 15, 16, 17, 18, 19].map((day) => `2031-04-${day}.json`),
    );
  });

  it.each([
    ['empty', '', 'it is empty'],
    ['truncated', '{"schemaVersion":2,"strings":["E"', 'it is not whole JSON'],
    ['not an object', '[1, 2]', 'it is not a JSON object'],
    ['without a version', '{"strings":[]}', 'it does not say its version'],
    ['of the wrong shape', '{"schemaVersion":2,"strings":7}', '‘strings’ is not a list'],
  ])(
    'sets a file aside that is %s, and puts the newest good backup in its place',
    (_, text, why) => {
      open().save(saved);
      open('2031-04-05T10:00:00Z');
      fs.writeFileSync(file, text);
      const opened = open('2031-04-06T18:20:00Z');
      expect(opened).toMatchObject({ value: saved, writable: true });
      expect(opened.problems[0]?.code).toBe('store-set-aside');
      expect(opened.problems[0]?.message).toContain(why);
      expect(opened.problems[0]?.message).toContain('the copy of 2031-04-05 is in use');
      const aside = path.join(root, 'set-aside', 'shopping.20310406T182000.json');
      expect(opened.problems[0]?.message).toContain(aside);
      expect(fs.readFileSync(aside, 'utf8')).toBe(text);
      expect(open()).toMatchObject({ value: saved, problems: [] });
    },
  );

  it('starts empty, and says so, when there was no backup; two in one second do not collide', () => {
    fs.writeFileSync(file, '{');
    expect(open().problems[0]?.message).toContain('it starts empty');
    fs.writeFileSync(file, '[');
    open();
    expect(listing('set-aside')).toEqual([
      'shopping.20310405T182000-2.json',
      'shopping.20310405T182000.json',
    ]);
  });

  it('passes over a backup that is itself broken', () => {
    open().save(saved);
    open('2031-04-05T10:00:00Z');
    fs.writeFileSync(path.join(root, 'backups', 'shopping.json', '2031-04-09.json'), '{');
    fs.writeFileSync(file, '');
    expect(open().value).toEqual(saved);
  });

  it('leaves a file of a newer version alone and refuses to write it', () => {
    const text = '{"schemaVersion":3,"strings":{"E":2}}';
    fs.writeFileSync(file, text);
    const opened = open();
    expect(opened).toMatchObject({ value: { strings: [] }, writable: false });
    expect(opened.problems[0]).toMatchObject({ code: 'store-newer' });
    expect(() => opened.save(saved)).toThrow(/left as it is/);
    expect(fs.readFileSync(file, 'utf8')).toBe(text);
    expect(listing('set-aside')).toEqual([]);
  });

  it('leaves what cannot be read at all alone', () => {
    fs.mkdirSync(file);
    const opened = open();
    expect(opened).toMatchObject({ value: { strings: [] }, writable: false });
    expect(opened.problems[0]?.code).toBe('store-unreadable');
    expect(fs.statSync(file).isDirectory()).toBe(true);
  });

  it('that is not what was written is told, used as it stands, and its copies are left', () => {
    open().save(saved);
    open('2031-04-05T10:00:00Z');
    fs.writeFileSync(file, fs.readFileSync(file, 'utf8').replace('"A"', '"a"'));
    const opened = open('2031-04-06T10:00:00Z');
    expect(opened).toMatchObject({ value: { strings: ['E', 'a'] }, writable: true });
    expect(opened.problems).toMatchObject([{ code: 'store-changed' }]);
    expect(opened.problems[0]!.message).toContain(file);
    expect(opened.problems[0]!.cure).toContain('the copy of 2031-04-05');
    expect(listing('backups/shopping.json')).toEqual(['2031-04-05.json']);
    expect(opened.earlier(opened.value)).toMatchObject({ day: '2031-04-05', value: saved });
    opened.save(opened.value);
    expect(open().problems).toEqual([]);
  });

  it('whatever bit of it is flipped: it is told, or it holds what was written', () => {
    const many = { strings: ['E', 'A', 'D', 'G, wound', 'b', 'e "first"'] };
    open().save(many);
    const written = fs.readFileSync(file);
    for (let bit = 0; bit < written.length * 8; bit++) {
      const bytes = Buffer.from(written);
      bytes[bit >> 3]! ^= 1 << (bit & 7);
      fs.writeFileSync(file, bytes);
      const { value, problems } = open();
      if (problems.length === 0) expect(value, `bit ${bit}`).toMatchObject(many);
      expect(fs.existsSync(file) || problems.length > 0).toBe(true);
    }
  });

  it('written by hand or before there were sums is taken as it is', () => {
    fs.writeFileSync(file, '{ "schemaVersion": 2, "strings": ["E"] }\n');
    expect(open()).toMatchObject({ value: { strings: ['E'] }, problems: [] });
  });

  it('that is gone is brought back from its copy, and told', () => {
    open().save(saved);
    open('2031-04-05T10:00:00Z');
    fs.rmSync(file);
    const opened = open();
    expect(opened.value).toEqual(saved);
    expect(opened.problems).toMatchObject([{ code: 'store-gone' }]);
    expect(open().problems).toEqual([]);
  });
});
