// The log on disk: what was acknowledged is read again, month by month, whatever happened in between.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { LogEntry } from '../../../../app/core/model/pass.ts';
import { unpackHistory } from '../../../../app/services/contract/unpack-history.ts';
import { openLogStore } from '../../../../app/services/machine/store/log-store.ts';
import { amendment, engine, keepingAt, passEntry, temporaryDirectory } from '../samples.ts';

let root: string;
beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => fs.rmSync(root, { recursive: true, force: true }));

const open = () =>
  openLogStore({ directory: path.join(root, 'log'), engine, keeping: keepingAt(root) });
const logFiles = (): string[] => fs.readdirSync(path.join(root, 'log')).sort();
const journal = (): string => path.join(root, 'log', 'journal.jsonl');
const idsOf = (store: ReturnType<typeof open>, since?: string): string[] =>
  unpackHistory(store.history(since)).passes.map((pass) => pass.id);

function logged(...entries: LogEntry[]): void {
  const store = open();
  store.append(entries);
  store.close();
}

describe('the log store', () => {
  it('shows what was appended at once, and again after a restart', () => {
    const store = open();
    store.append([passEntry('a')]);
    expect(idsOf(store)).toEqual(['a']);
    store.close();
    expect(idsOf(open())).toEqual(['a']);
  });

  it('folds the journal into the months of the passes’ own dates', () => {
    logged(
      passEntry('april', { at: '2031-04-30T23:30:00.000-05:00' }),
      passEntry('may', { at: '2031-05-01T00:10:00.000+02:00' }),
    );
    expect(logFiles()).toEqual(['journal.jsonl']);
    open();
    expect(logFiles()).toEqual(['2031-04.json', '2031-05.json']);
    expect(idsOf(open())).toEqual(['may', 'april']);
  });

  it('counts a pass once when a crash came between the months and the journal’s end', () => {
    logged(passEntry('a'), amendment('a', '2031-04-05T18:25:00Z'));
    const before = fs.readFileSync(journal());
    open();
    fs.writeFileSync(journal(), before);
    const again = open();
    expect(idsOf(again)).toEqual(['a']);
    expect(again.history().parts[0]?.amendments).toHaveLength(1);
  });

  it('writes the bars of a unit once per run, and again after the next start', () => {
    const store = open();
    store.append([passEntry('a')]);
    store.append([passEntry('b')]);
    store.close();
    const lines = fs.readFileSync(journal(), 'utf8').trim().split('\n');
    expect(lines.map((line) => Object.keys(JSON.parse(line) as object)[1])).toEqual([
      'unit',
      'pass',
      'pass',
    ]);
    logged(passEntry('c'));
    expect(fs.readFileSync(journal(), 'utf8').split('\n')).toHaveLength(3);
  });

  it('reads the month of `since` and later ones only', () => {
    logged(
      passEntry('old', { at: '2030-01-15T12:00:00Z' }),
      passEntry('new', { at: '2031-04-15T12:00:00Z' }),
    );
    open();
    expect(idsOf(open(), '2031-04-02T00:00:00Z')).toEqual(['new']);
  });

  it('forgives a torn last line: it was never acknowledged, and a copy is kept', () => {
    logged(passEntry('a'), passEntry('b'));
    const text = fs.readFileSync(journal(), 'utf8');
    fs.writeFileSync(journal(), text.slice(0, -40));
    const store = open();
    expect(idsOf(store)).toEqual(['a']);
    expect(store.problems[0]?.code).toBe('journal-set-aside');
    expect(fs.readdirSync(path.join(root, 'set-aside'))).toHaveLength(1);
  });

  it('keeps appending to a torn line without swallowing the next pass', () => {
    fs.mkdirSync(path.join(root, 'log'));
    fs.writeFileSync(journal(), '{"v":9,"something":"newer"}\n{"v":1,"pa');
    const store = open();
    store.append([passEntry('a')]);
    store.close();
    expect(idsOf(open())).toEqual(['a']);
  });

  it('keeps lines of a newer version in the journal', () => {
    logged(passEntry('a'));
    fs.appendFileSync(journal(), '{"v":3,"pass":{}}\n');
    const store = open();
    expect(store.problems[0]?.code).toBe('journal-newer');
    expect(fs.readFileSync(journal(), 'utf8')).toContain('"v":3');
    expect(idsOf(store)).toEqual(['a']);
  });

  it('marks a teacher’s word as a form that version 1 does not know, and nothing else', () => {
    const word = { amends: 'a', at: '2031-04-05T19:00:00Z', source: 'teacher' } as const;
    logged(
      passEntry('a'),
      { kind: 'amendment', amendment: { ...word, verdict: 'missed', remark: 'Late thumb.' } },
      { kind: 'amendment', amendment: { ...word, verdict: 'as-before' } },
    );
    const versions = fs.readFileSync(journal(), 'utf8').match(/"v":\d/g);
    expect(versions).toEqual(['"v":1', '"v":1', '"v":2', '"v":2']);
    open();
    expect(open().history().parts[0]?.amendments).toMatchObject([
      { verdict: 'missed', remark: 'Late thumb.' },
      { verdict: 'as-before' },
    ]);
  });

  it('reads a month of version 1 and writes it as version 2, nothing of it lost', () => {
    logged(passEntry('a'), amendment('a', '2031-04-05T18:25:00Z'));
    open();
    const month = path.join(root, 'log', '2031-04.json');
    const written = JSON.parse(fs.readFileSync(month, 'utf8')) as object;
    fs.writeFileSync(month, JSON.stringify({ ...written, schemaVersion: 1 }));
    logged(passEntry('b'));
    const store = open();
    expect([idsOf(store), store.problems]).toEqual([['a', 'b'], []]);
    expect(store.history().parts[0]?.amendments).toHaveLength(1);
    expect(JSON.parse(fs.readFileSync(month, 'utf8'))).toMatchObject({ schemaVersion: 2 });
  });

  it('keeps the journal as long as a month is newer than the program', () => {
    fs.mkdirSync(path.join(root, 'log'));
    fs.writeFileSync(path.join(root, 'log', '2031-04.json'), '{"schemaVersion":99}');
    logged(passEntry('a'));
    const store = open();
    expect(idsOf(store)).toEqual(['a']);
    expect(store.problems[0]?.code).toBe('store-newer');
    expect(fs.existsSync(journal())).toBe(true);
  });

  it('sets a broken month aside, restores its backup and still files the journal', () => {
    logged(passEntry('a'));
    open();
    open().history();
    const month = path.join(root, 'log', '2031-04.json');
    fs.writeFileSync(month, fs.readFileSync(month, 'utf8').slice(0, 100));
    logged(passEntry('b'));
    const store = open();
    expect(idsOf(store)).toEqual(['a', 'b']);
  });
});
