// One forbidden thing of each kind, put into the real sources: the check finds it, and nothing else that is new.
import path from 'node:path';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';
import { circles } from '../../house/circles.ts';
import type { Fault } from '../../house/faults.ts';
import { findFaults } from '../../house/faults.ts';
import { readGraph } from '../../house/graph.ts';
import { foreignLookups, projectOptions } from '../../house/lookups.ts';
import { readSources, root } from '../../house/sources.ts';
import { foreignWorlds } from '../../house/worlds.ts';

const sources = readSources();
const line = ({ rule, where }: Fault): string => `${rule}: ${where}`;
const house = readGraph(sources);
const before = new Set(findFaults(house).map(line));

/** The faults that some files more bring into the house. */
const added = (...files: readonly (readonly [file: string, text: string])[]): Fault[] =>
  findFaults([...house, ...readGraph(new Map(files))]).filter((fault) => !before.has(line(fault)));

/** The relative path from a probe to whichever file stands first right in a folder. */
function wayTo(file: string, folder: string): string {
  const there = [...sources.keys()].find((source) => path.posix.dirname(source) === folder);
  return path.posix
    .relative(path.posix.dirname(file), there ?? `no file in ${folder}`)
    .replace(/^(?!\.)/, './');
}

const svelte = (script: string): string => `<script lang="ts">\n${script}\n</script>\n<p>probe</p>`;

test.each<[rule: Fault['rule'], what: string, file: string, text: string]>([
  ['layer', 'the ground imports harmony', 'app/core/base/probe.ts', "import '<app/core/harmony>';"],
  [
    'layer',
    'a type counts, too',
    'app/core/model/probe.ts',
    "import type { K } from '<app/core/harmony>';",
  ],
  [
    'layer',
    'a type in an import() counts',
    'app/core/model/probe.ts',
    "type K = import('<app/core/harmony>').K;",
  ],
  [
    'layer',
    'a late import counts',
    'app/core/model/probe.ts',
    "void import('<app/core/harmony>');",
  ],
  [
    'layer',
    'an export from counts',
    'app/core/model/probe.ts',
    "export * from '<app/core/harmony>';",
  ],
  [
    'layer',
    'a neighbour in the same row',
    'app/core/ladder/probe.ts',
    "import '<app/core/sound>';",
  ],
  ['layer', 'core imports services', 'app/core/log/probe.ts', "import '<app/services/contract>';"],
  ['layer', 'services import a host', 'app/services/machine/probe.ts', "import '<app/electron>';"],
  ['layer', 'one host imports the other', 'app/electron/probe.ts', "import '<app/browser-host>';"],
  ['layer', 'a host imports npm start', 'app/browser-host/probe.ts', "import '<app>';"],
  [
    'layer',
    'parts import a screen',
    'renderer/parts/Probe.svelte',
    svelte("import '<renderer/screens/today>';"),
  ],
  [
    'layer',
    'parts import the type of a screen',
    'renderer/parts/Probe.svelte',
    svelte("import type { X } from '<renderer/screens/climb>';"),
  ],
  [
    'apart',
    'a screen imports another',
    'renderer/screens/log/Probe.svelte',
    svelte("import '<renderer/screens/climb>';"),
  ],
  [
    'layer',
    'state imports a screen',
    'renderer/state/probe.svelte.ts',
    "import '<renderer/screens/today>';",
  ],
  [
    'layer',
    'a page helper starts a worker above it',
    'renderer/page/probe.ts',
    "new Worker(new URL('<renderer/state>', import.meta.url));",
  ],
  [
    'apart',
    'the view imports the machine',
    'renderer/state/probe.ts',
    "import '<app/services/machine>';",
  ],
  [
    'apart',
    'a host imports the view',
    'app/electron/probe.ts',
    "import '../../renderer/theme/probe.ts';",
  ],
  ['package', 'Node in core', 'app/core/chart/probe.ts', "import fs from 'node:fs';"],
  ['package', 'Node without its prefix in core', 'app/core/chart/probe.ts', "import fs from 'fs';"],
  ['package', 'Node in the view', 'renderer/state/probe.ts', "import 'node:path';"],
  ['package', 'Electron in services', 'app/services/machine/probe.ts', "import 'electron';"],
  ['package', 'Electron in the view', 'renderer/state/probe.ts', "import 'electron';"],
  ['package', 'Svelte in core', 'app/core/chart/probe.ts', "import 'svelte/reactivity';"],
  [
    'package',
    'Tone outside renderer/audio',
    'renderer/state/probe.ts',
    "import * as Tone from 'tone';",
  ],
  [
    'package',
    'a deep path of Tone',
    'renderer/state/probe.ts',
    "import 'tone/build/esm/core/context/Gain.js';",
  ],
  ['package', 'zod in the view', 'renderer/state/probe.ts', "import { z } from 'zod';"],
  ['package', 'tests’ tools in the program', 'app/electron/probe.ts', "import 'vitest';"],
  ['missing', 'the program imports a test', 'app/core/chart/probe.ts', "import '../../run.ts';"],
  ['missing', 'a file that is not there', 'app/core/chart/probe.ts', "import './nowhere.ts';"],
  ['no layer', 'a folder that the table does not know', 'app/core/newcomer/probe.ts', 'export {};'],
])('%s: %s', (rule, _what, file, text) => {
  const probe = text.replace(/<(.+?)>(?=')/, (_all, folder: string) => wayTo(file, folder));
  const faults = added([file, probe], ['renderer/theme/probe.ts', 'export {};']);
  expect(faults.map((fault) => fault.rule)).toContain(rule);
  expect(faults.find((fault) => fault.rule === rule)?.where).toContain(file);
});

test('what the rules allow adds no fault', () => {
  expect(
    added(
      ['app/core/harmony/probe.ts', "import '../base/result.ts';\nimport 'tonal';"],
      ['renderer/audio/probe.ts', "import 'tone/build/esm/index.js';"],
      ['renderer/parts/Probe.svelte', svelte("import { tick } from 'svelte';")],
      ['app/core/base/probe.ts', "// new URL('./x.ts', import.meta.url)"],
    ),
  ).toEqual([]);
});

test('a part that pulls in the whole house', () => {
  const text = svelte("import '../state/world.ts';");
  const faults = added(['renderer/parts/Probe.svelte', text]);
  expect(faults.map(({ rule }) => rule)).toContain('reach');
  expect(faults.find(({ rule }) => rule === 'reach')?.where).toMatch(/^renderer\/parts\/Probe/);
});

describe('circles', () => {
  const probe = (entries: [string, string][]): string[] =>
    findFaults(readGraph(new Map(entries)))
      .filter((fault) => fault.rule.endsWith('circle'))
      .map(line);

  test('of two files, by a type alone', () => {
    expect(
      probe([
        ['app/core/base/a.ts', "import './b.ts';"],
        ['app/core/base/b.ts', "import type { A } from './a.ts';"],
      ]),
    ).toEqual(['file circle: app/core/base/a.ts → app/core/base/b.ts → app/core/base/a.ts']);
  });

  test('of folders without a circle of files', () => {
    expect(
      probe([
        ['app/core/ear/x/a.ts', "import '../y/b.ts';"],
        ['app/core/ear/y/b.ts', ''],
        ['app/core/ear/y/c.ts', "import '../x/d.ts';"],
        ['app/core/ear/x/d.ts', ''],
      ]),
    ).toEqual(['folder circle: app/core/ear/x → app/core/ear/y → app/core/ear/x']);
  });

  test('of a folder and its own subfolder', () => {
    expect(
      probe([
        ['app/core/ear/a.ts', "import './y/b.ts';"],
        ['app/core/ear/c.ts', ''],
        ['app/core/ear/y/b.ts', "import '../c.ts';"],
      ]),
    ).toEqual(['folder circle: app/core/ear → app/core/ear/y → app/core/ear']);
  });

  test('none in a diamond; two that do not touch are two', () => {
    const graph = (edges: Record<string, string[]>): Map<string, Set<string>> =>
      new Map(Object.entries(edges).map(([from, to]) => [from, new Set(to)]));
    expect(circles(graph({ a: ['b', 'c'], b: ['d'], c: ['d'], d: [] }))).toEqual([]);
    expect(circles(graph({ a: ['b'], b: ['a', 'c'], c: ['d'], d: ['c'] })).toSorted()).toEqual([
      ['a', 'b'],
      ['c', 'd'],
    ]);
  });
});

/** Files on disk as they were read once; most are the declarations of the platform. */
const read = new Map<string, ts.SourceFile | undefined>();

/** Files that are not on disk, read with the options of a folder's own project: what is found in each, by its text. */
function probed<T>(
  folder: string,
  texts: readonly string[],
  look: (program: ts.Program, file: string) => T,
): ReadonlyMap<string, T> {
  const here = path.posix.join(root.split(path.sep).join('/'), folder);
  const files = new Map(texts.map((text, i) => [`${here}/probe-of-a-test-${i}.ts`, text]));
  const options = projectOptions(folder);
  const host = ts.createCompilerHost(options);
  const { fileExists, readFile, getSourceFile } = host;
  host.fileExists = (name) => files.has(name) || fileExists(name);
  host.readFile = (name) => files.get(name) ?? readFile(name);
  host.getSourceFile = (name, ...more) => {
    const text = files.get(name);
    if (text !== undefined) return ts.createSourceFile(name, text, ts.ScriptTarget.Latest, true);
    const key = JSON.stringify([name, more[0]]);
    if (!read.has(key)) read.set(key, getSourceFile(name, ...more));
    return read.get(key);
  };
  const program = ts.createProgram([...files.keys()], options, host);
  return new Map([...files].map(([file, text]) => [text, look(program, file)]));
}

describe('types', () => {
  const problemsIn = (folder: string, ...texts: string[]): ReadonlyMap<string, number> =>
    probed(
      folder,
      texts,
      (program, file) => program.getSemanticDiagnostics(program.getSourceFile(file)).length,
    );

  test('core knows no page, no Node, no fetch and no timers', () => {
    const probes = ['document.title;', 'process.exit();', "fetch('');", 'setTimeout(() => 0, 1);'];
    const found = problemsIn('app/core', ...probes, 'Math.random();');
    expect([...found]).toEqual([...probes.map((text) => [text, 1]), ['Math.random();', 0]]);
  });

  test('the machine side knows Node and no page', () => {
    expect([...problemsIn('app', 'document.title;', 'process.exit();')]).toEqual([
      ['document.title;', 1],
      ['process.exit();', 0],
    ]);
  });

  test('the view knows the page, no Node and no Buffer', () => {
    const found = problemsIn('renderer', 'process.exit();', "Buffer.from('');", 'document.title;');
    expect([...found]).toEqual([
      ['process.exit();', 1],
      ["Buffer.from('');", 1],
      ['document.title;', 0],
    ]);
  });
});

test('a library whose types bring a foreign world in', () => {
  const worlds = (folder: 'app/core' | 'renderer', text: string): string[] =>
    [
      ...probed(folder, [text], (program) => foreignWorlds(folder, program).map(line)).values(),
    ].flat();
  expect(worlds('app/core', '/// <reference types="node" />')).toEqual([
    'world: app/core knows Node',
  ]);
  expect(worlds('app/core', '/// <reference lib="dom" />')).toEqual([
    'world: app/core knows the page',
  ]);
  expect(worlds('renderer', '/// <reference types="node" />')).toEqual([
    'world: renderer knows Node',
  ]);
  expect(worlds('app/core', 'export {};')).toEqual([]);
});

test('plain objects that are looked up by foreign strings are found, and nothing else', () => {
  const faults = [
    'const table = { a: 1 }; export const f = (word: string) => (table as Record<string, number>)[word];',
    'const table: Record<string, number> = {}; export const f = (word: string) => table[word];',
    "const table = { a: 1 }; export const f = (word: string) => table[word as 'a'];",
    'const table = { a: 1 }; export const f = (word: string) => word in table;',
  ];
  const fine = [
    "const table = { a: 1 }; export const f = (word: 'a') => table[word];",
    'const table = new Map([["a", 1]]); export const f = (word: string) => table.get(word);',
    'const list = [1]; export const f = (i: number) => list[i];',
  ];
  const found = probed(
    'app/core',
    [...faults, ...fine],
    (program, file) => foreignLookups(program, (name) => name === file).length,
  );
  expect([...found]).toEqual([
    ...faults.map((text) => [text, 1]),
    ...fine.map((text) => [text, 0]),
  ]);
});
