// The handbook says what is true: its links lead somewhere, its keys are the usual ones, its rooms and menus exist.
import fs from 'node:fs';
import path from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { menuTemplate } from '../../../app/electron/menu.ts';
import { FILE_ENDINGS } from '../../../app/electron/file-endings.ts';
import { roomNames } from '../../../app/services/contract/rooms.ts';
import {
  ACTION_WORDS,
  CLIMB_ACTIONS,
  isMidi,
  readBindings,
  signalName,
} from '../../../renderer/input/bindings.ts';
import { anchorOf, readPage, search } from '../../../renderer/parts/handbook/pages.ts';

vi.mock('electron', () => import('../electron/fake-electron.ts'));

const folder = path.join(import.meta.dirname, '../../../assets/handbook');
const files = fs.readdirSync(folder).filter((file) => file.endsWith('.md'));
const textOf = (file: string): string => fs.readFileSync(path.join(folder, file), 'utf8');
const pages = files.map((file) => readPage(file.replace('.md', ''), textOf(file)));

const NOTHING = { act: () => undefined, openChart: () => undefined, reload: () => undefined };

describe.each(files)('%s', (file) => {
  it('has no dead link', () => {
    for (const [, target] of textOf(file).matchAll(/\]\(([^)]+)\)/g)) {
      const [name, anchor] = target!.split('#') as [string, string?];
      const there = name === '' ? file : name;
      expect(fs.existsSync(path.join(folder, there)), target).toBe(true);
      if (anchor === undefined || !there.endsWith('.md')) continue;
      const headings = [...textOf(there).matchAll(/^#+ (.*)$/gm)].map(([, heading]) =>
        anchorOf(heading!),
      );
      expect(headings, target).toContain(anchor);
    }
  });
});

it('names files that are there', () => {
  const root = path.join(folder, '../..');
  for (const file of files) {
    for (const [, named] of textOf(file).matchAll(
      /`((?:app|renderer|assets|tests|\.github)\/[^`*]+)`/g,
    )) {
      expect(fs.existsSync(path.join(root, named!)), `${file}: ${named}`).toBe(true);
    }
  }
});

it('lists the usual keys of a climb as they are', () => {
  const table = readBindings({}, {}).filter(({ signal }) => !/^(cc|note|program):/.test(signal));
  for (const action of CLIMB_ACTIONS) {
    const keys = table
      .filter((binding) => binding.action === action)
      .map(
        ({ gesture, signal }) => `${gesture === 'press' ? '' : `${gesture} `}${signalName(signal)}`,
      );
    const row = textOf('keys.md')
      .split('\n')
      .map((line) => line.split('|').map((cell) => cell.trim()))
      .find((cells) => cells[1] === ACTION_WORDS[action].name);
    expect(row?.[2]).toBe(keys.join(', '));
  }
});

it('names the usual MIDI foot switches of a climb', () => {
  const table = readBindings({}, {}).filter(({ signal }) => isMidi(signal));
  expect(table.length).toBeGreaterThan(0);
  for (const { signal } of table) expect(textOf('keys.md')).toContain(signalName(signal));
});

it('names only rooms and menus that exist, in bold', () => {
  const menus = menuTemplate('linux', 'Rungwise', NOTHING).map(({ label, role }) =>
    (label ?? role ?? '').replace('&', '').toLowerCase(),
  );
  const known = new Set([...Object.values(roomNames).map((name) => name.toLowerCase()), ...menus]);
  for (const file of [
    'student.md',
    'teacher.md',
    'files.md',
    'keys.md',
    'listening.md',
    'care.md',
  ]) {
    for (const [, name] of textOf(file).matchAll(/\*\*([^*]+)\*\*/g)) {
      if (name === 'Your tempo') continue;
      expect([...known], `${file}: ${name}`).toContain(name!.toLowerCase());
    }
  }
});

it('names every kind of file that a double click opens', () => {
  for (const ending of FILE_ENDINGS) expect(textOf('files.md')).toContain(`.${ending}`);
});

it.each(['task-sheet', 'practice-report'])('explains every field of a %s', (name) => {
  const schema = path.join(folder, `../schemas/${name}.schema.json`);
  const { properties } = JSON.parse(fs.readFileSync(schema, 'utf8')) as {
    properties: Record<string, { const?: number }>;
  };
  const table = textOf('files.md')
    .split(`A ${name.replace('-', ' ')}:`)[1]!
    .split(/\n\n[^|]/)[0]!;
  const rows = [...table.matchAll(/^\| (`.*?`) \| (.*) \|$/gm)];
  const fields = rows.flatMap(([, names]) => names!.replaceAll('`', '').split(', '));
  expect(fields.sort()).toEqual(Object.keys(properties).sort());
  const { format, schemaVersion } = properties;
  expect(table).toContain(`\`${String(format!.const)}\`, and ${String(schemaVersion!.const)} |`);
});

describe('the search', () => {
  it('finds a section that holds every word, wherever its letters are large', () => {
    const found = search(pages, 'MICROPHONE delay');
    expect(found.map(({ page }) => page.id)).toContain('listening');
    expect(search(pages, 'microphone xyzzy')).toEqual([]);
    expect(search(pages, '  ')).toEqual([]);
  });

  it('puts headings first', () => {
    expect(search(pages, 'privacy')[0]?.section.heading).toBe('Privacy');
  });
});

it('draws headings with the addresses that links use', () => {
  const page = readPage('x', '# One\n\n## Two words, here\n\ntext');
  expect(page.html).toContain('<h3 id="two-words-here" tabindex="-1">');
  expect(page.title).toBe('One');
});
