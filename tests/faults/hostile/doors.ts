// Every door by which something comes in from outside: what it takes when all is well, and what reads it.
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { strToU8, zipSync } from 'fflate';
import type { Problem } from '../../../app/core/base/result.ts';
import { readAnyChart } from '../../../app/core/chart/notation/any-chart.ts';
import { readChartFile } from '../../../app/core/chart/chart-file.ts';
import { readChartHead, writeChartText } from '../../../app/core/chart/notation/chart-text.ts';
import * as fields from '../../../app/core/chart/notation/fields.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { readTake } from '../../../app/core/ear/take.ts';
import { readReport, reportForm } from '../../../app/core/exchange/desk/report.ts';
import { readTaskSheet, taskSheetForm } from '../../../app/core/exchange/desk/task-sheet.ts';
import { entriesOfFacts } from '../../../app/core/exchange/shared/in-files.ts';
import { personOf, readCode } from '../../../app/core/exchange/shared/person.ts';
import {
  readSegment,
  type Segment,
  writeSegment,
} from '../../../app/core/exchange/shared/segment.ts';
import { newestParcels, shelved } from '../../../app/core/exchange/shared/shelf.ts';
import { standingOf } from '../../../app/core/exchange/shared/writes.ts';
import { parseFrets } from '../../../app/core/fretboard/frets.ts';
import { readKey } from '../../../app/core/harmony/key.ts';
import { readChord } from '../../../app/core/harmony/read.ts';
import { readTuning } from '../../../app/core/harmony/tunings.ts';
import { parsePart } from '../../../app/core/lead/notation.ts';
import { logEntrySchema } from '../../../app/core/log/schema.ts';
import { parseStrum } from '../../../app/core/rhythm/strum.ts';
import { readSheet } from '../../../app/core/sheets/read.ts';
import { parseUnitKey } from '../../../app/core/units/keys.ts';
import { readSettings, usualSettings } from '../../../app/services/contract/settings.ts';
import { noteOf, readArchive } from '../../../app/services/machine/archive/open-archive.ts';
import { readAddress } from '../../../app/services/machine/courier/address.ts';
import { readShelf } from '../../../app/services/machine/store/documents.ts';
import { ladderKind } from '../../../app/services/machine/store/ladders.ts';
import { studentKind } from '../../../app/services/machine/store/students.ts';
import { viewFile } from '../../../app/services/machine/view-files.ts';
import { readMidi } from '../../../renderer/input/midi.ts';
import { readNumber } from '../../../renderer/page/read-number.ts';
import { readHash, writeHash } from '../../../renderer/state/shell/address.ts';
import { rememberedRun, rememberedSet } from '../../../renderer/state/run/run-choices.ts';
import { rememberedIn } from '../../../renderer/state/stage/turns.ts';
import { openFile } from '../../../app/core/exchange/open/open-file.ts';
import { readPaper } from '../../../renderer/state/files/read-paper.ts';
import { writeChartFile } from '../../support/chart-file.ts';
import { demoNamed } from '../../support/demo.ts';
import { amendment, sampleLadder } from '../../unit/services/samples.ts';
import { frozen, hostileBytes, hostileText, hostileValue, type Roll } from './inputs.ts';
import { chart, entry, given, NOW, parcel, pass, SMALL_CHART, student, unit } from './samples.ts';

/** What a reader says of an input: nothing, or problems in words. */
export type Said = readonly Pick<Problem, 'message' | 'cure'>[];

export interface Door {
  readonly name: string;
  /** Makes one hostile input and has it read. @throws Error: a fault of the reader. */
  readonly knock: (roll: Roll) => { readonly input: unknown; readonly read: () => Said };
}

type Outcome = { readonly ok: boolean; readonly problems?: Said };
const saidBy = (result: Outcome): Said => (result.ok ? [] : (result.problems ?? []));

const text = (name: string, seeds: readonly string[], read: (text: string) => Said): Door => ({
  name,
  knock: (roll) => {
    const input = hostileText(roll, seeds);
    return { input, read: () => read(input) };
  },
});
function value(name: string, seeds: readonly unknown[], read: (value: unknown) => Said): Door {
  const good = frozen(structuredClone(seeds));
  const knock: Door['knock'] = (roll) => {
    const input = hostileValue(roll, good);
    return { input, read: () => read(input) };
  };
  return { name, knock };
}
const bytes = (
  name: string,
  seeds: readonly Uint8Array[],
  read: (bytes: Uint8Array<ArrayBuffer>) => Said,
): Door => ({
  name,
  knock: (roll) => {
    const input = hostileBytes(roll, seeds);
    return { input, read: () => read(input) };
  },
});

const SHEET = `Chalk on the Gate
Capo 2

[Verse]
G       D/F#    Em7
Leave a line of chalk for me
[C]Down by the [D]gate
x2
Chorus: | G | C D | G ||
e|--0--3--|
`;
const SCORE = `<?xml version="1.0"?><score-partwise version="4.0"><part-list><score-part id="P1"><part-name>G</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>2</divisions><key><fifths>1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>
<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>90</per-minute></metronome></direction-type></direction>
<harmony><root><root-step>G</root-step></root><kind text="maj7">major-seventh</kind><frame><frame-strings>6</frame-strings><frame-frets>4</frame-frets><frame-note><string>6</string><fret>3</fret></frame-note></frame></harmony>
<note><rest/><duration>8</duration></note><barline location="right"><repeat direction="backward" times="2"/></barline></measure></part></score-partwise>`;

const demo = demoNamed('low-tide-lanterns');
const midi = new Uint8Array([
  0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 1, 0, 1, 0, 96, 0x4d, 0x54, 0x72, 0x6b, 0, 0, 0, 27, 0,
  0xff, 0x51, 3, 7, 0xa1, 0x20, 0, 0xff, 0x58, 4, 4, 2, 24, 8, 0, 0x90, 60, 90, 96, 0x80, 60, 0, 0,
  0xff, 0x2f, 0,
]);
const wave = ((): Uint8Array => {
  const all = new DataView(new ArrayBuffer(44 + 400));
  const put = (at: number, word: string): void =>
    [...word].forEach((sign, i) => all.setUint8(at + i, sign.charCodeAt(0)));
  put(0, 'RIFF');
  all.setUint32(4, 436, true);
  put(8, 'WAVEfmt ');
  all.setUint32(16, 16, true);
  all.setUint16(20, 1, true);
  all.setUint16(22, 1, true);
  all.setUint32(24, 44_100, true);
  all.setUint32(28, 88_200, true);
  all.setUint16(32, 2, true);
  all.setUint16(34, 16, true);
  put(36, 'data');
  all.setUint32(40, 400, true);
  return new Uint8Array(all.buffer);
})();
const mxl = zipSync({
  'META-INF/container.xml': strToU8(
    '<container><rootfiles><rootfile full-path="a.xml"/></rootfiles></container>',
  ),
  'a.xml': strToU8(SCORE),
});
const archive = zipSync({
  'archive.json': strToU8(noteOf(NOW, '0.2.0')),
  'charts/A.chart.txt': strToU8(writeChartText(chart)),
  'settings.json': strToU8('{"schemaVersion":1,"theme":"dark"}'),
});

const sheetJson = {
  format: taskSheetForm.format,
  schemaVersion: 1,
  written: NOW,
  teacher: { name: 'Ms Tern' },
  student: { id: 'st-1', name: 'Ada' },
  charts: [chart],
  assignments: [],
  comments: student.comments,
  words: [],
};
const reportJson = {
  format: reportForm.format,
  schemaVersion: 1,
  written: NOW,
  student: { id: 'st-1', name: 'Ada' },
  charts: [chart],
  assignments: [],
  passes: [entry],
  units: {},
  owned: [],
};
const segments: readonly Segment[] = [
  { writer: 'w-1', number: 1, written: NOW, parcel },
  { writer: 'w-3', number: 1, written: NOW, recording: given },
  {
    writer: 'w-2',
    number: 2,
    written: NOW,
    batch: {
      person: personOf('KMQT-7WXA'),
      machine: 'Laptop',
      facts: [
        { kind: 'bars', unit },
        { kind: 'pass', pass },
        { kind: 'word', word: { amends: 'a', at: NOW, verdict: 'missed', source: 'teacher' } },
        { kind: 'value', key: 'chart k-1', value: { text: SMALL_CHART }, turn: 3, over: '2.w-1' },
      ],
    },
  },
];
const entries = [entry, amendment('a', NOW)];
const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-hostile-'));
process.on('exit', () => fs.rmSync(folder, { recursive: true, force: true }));

const FIELDS = [
  '♩. = 58',
  '7/8 (2+2+3)',
  'swing 8 2:1',
  'drop D = D2 A2 D3 G3 B3 E4',
  '2',
  'G = 320003',
  'x.3.2.0.1.0',
  'E minor',
  'standard',
  'join:Verse>Chorus',
  'eighths D-DU-UDU',
  '| 2 3/7b1 4 3/7 h9 | 1 2/8~ |',
  '12,5',
];
const meter = chart.meter;
/** What may be a chart or a file of ours, and a little more. */
const OURS = [/^[^\S\n]*(?:form|strum|words|like|part)/imu, /^\uFEFF?\s*[{[]\s*["{[\]}]/u];

/** A field of a chart as it is typed, read by each reader of fields. */
const readFields = (typed: string): Said =>
  [
    fields.parseTempo(typed, meter),
    fields.parseMeter(typed),
    fields.parseFeel(typed),
    fields.parseTuning(typed),
    fields.parseCapo(typed),
    fields.parseShape(typed),
    readTuning(typed),
    parseFrets(typed),
    readKey(typed),
    parseStrum(typed),
    parseUnitKey(typed),
    parsePart(typed, 'Guitar 1'),
  ].flatMap((result) => saidBy(result));

export const DOORS: readonly Door[] = [
  text('a chart as typed', [SMALL_CHART, printChart(demo), printChart(chart)], (typed) => {
    readChartHead(typed);
    const read = readAnyChart(typed, 'x');
    // What was understood can be written again.
    if (read.ok) writeChartText(read.value);
    return saidBy(read);
  }),
  text('a chord', ['G', 'F#m7b5/C#', 'Bbmaj7#11(no3)', 'Cadd9', 'H7', 'Asus4'], (typed) => [
    ...saidBy(readChord(typed)),
    ...saidBy(readChord(typed, 'german')),
  ]),
  text('a field of a chart', FIELDS, readFields),
  text('a sheet of chords and words', [SHEET, SMALL_CHART], (pasted) => {
    const paper = readPaper(pasted, 'sheet.txt');
    // What may be in our own notation is not read as a sheet there; elsewhere any text is.
    if (paper.kind === 'chart' || OURS.some((sign) => sign.test(pasted))) readSheet(pasted);
    return paper.kind === 'refused' ? paper.problems : [];
  }),
  text('a number', ['12', '3,5', '−4'], (typed) => {
    const read = readNumber(typed, 1, 400);
    return read.ok ? [] : [{ message: read.problem, cure: read.problem }];
  }),
  value(
    'a chart’s file in JSON',
    [JSON.parse(writeChartFile(chart)), JSON.parse(writeChartFile(demo))],
    (raw) => saidBy(readChartFile(JSON.stringify(raw))),
  ),
  text('JSON that is none', [writeChartFile(chart), JSON.stringify(sheetJson)], (raw) => [
    ...saidBy(readChartFile(raw)),
    ...saidBy(readTaskSheet(raw, NOW)),
    ...saidBy(readReport(raw, NOW)),
  ]),
  value('a task sheet', [sheetJson], (raw) => saidBy(readTaskSheet(JSON.stringify(raw), NOW))),
  value('a practice report', [reportJson], (raw) => saidBy(readReport(JSON.stringify(raw), NOW))),
  value('an entry of the log', entries, (raw) => {
    logEntrySchema.safeParse(raw);
    return [];
  }),
  value(
    'settings',
    [{ ...usualSettings, theme: 'dark' }],
    (raw) => readSettings(Object(raw) as Record<string, unknown>).problems,
  ),
  text(
    'a stored document',
    [
      JSON.stringify({ schemaVersion: 1, items: [student], removed: [] }),
      JSON.stringify({ schemaVersion: 1, items: [sampleLadder('a', 'form')], removed: [] }),
    ],
    (raw) => [...readShelf(raw, studentKind).problems, ...readShelf(raw, ladderKind).problems],
  ),
  value('a file of a shared folder', segments, (raw) => {
    // As another program might write it: whole, with whatever stands in it.
    const line = JSON.stringify({ format: 'rungwise-shared', version: 1, ...Object(raw) });
    const read = readSegment(`${line}\n${createHash('sha256').update(line).digest('hex')}\n`);
    if (read.kind !== 'whole') return [];
    const { segment, hash } = read;
    newestParcels(new Map([[hash, shelved(segment)]]));
    const { writer, batch } = segment;
    const facts = batch?.facts ?? [];
    entriesOfFacts(facts);
    standingOf(
      facts.flatMap((fact) =>
        fact.kind === 'value' ? [{ ...fact, writer, machine: batch!.machine }] : [],
      ),
    );
    return [];
  }),
  text('a file of a shared folder, its bytes', segments.map(writeSegment), (raw) => {
    readSegment(raw);
    return [];
  }),
  text('a code of one’s own machines', ['KMQT-7WXA', 'kmqt 7wxa'], (typed) => {
    const code = readCode(typed);
    if (code !== undefined) personOf(code);
    return [];
  }),
  text(
    'the address of a server',
    ['https://school.example/dav/ada', 'http://192.168.1.7:8080/dav', 'http://[fe80::1]/'],
    (typed) => saidBy(readAddress(typed)),
  ),
  text(
    'what the window remembers',
    [
      JSON.stringify([{ chart: 'k-1', pause: 4 }]),
      JSON.stringify([
        ['k-1 form', { choices: { percent: 80, slowBars: [1, 2] }, muted: ['chords'] }],
      ]),
      JSON.stringify([{ chart: 'k-1', unit: 'form', minutes: 5 }]),
    ],
    (kept) => {
      const memory = { getItem: () => kept, setItem: () => undefined };
      rememberedSet(memory);
      rememberedRun(memory, 'k-1 form');
      rememberedIn(memory);
      return [];
    },
  ),
  text('where the window stands', ['#/charts/k-1/edit', '#/%E2%99%AD/%'], (hash) => {
    // An address holds whole characters only.
    const parts = readHash(hash.toWellFormed());
    if (readHash(writeHash(parts)).join('\n') !== parts.join('\n'))
      throw new Error('it does not lead to the same place again');
    return [];
  }),
  text('a score', [SCORE], (xml) => saidBy(openFile(strToU8(xml), TextDecoder))),
  bytes('a compressed score', [mxl], (raw) => saidBy(openFile(raw, TextDecoder))),
  bytes('a MIDI file', [midi], (raw) => saidBy(openFile(raw, TextDecoder))),
  bytes('a recording', [wave], (raw) => saidBy(readTake(raw))),
  bytes('an archive', [archive], (raw) =>
    saidBy(readArchive(raw, path.join(folder, 'given.sqlite'))),
  ),
  bytes(
    'a message of a pedal',
    [new Uint8Array([0xb0, 64, 127]), new Uint8Array([0x90, 60, 1])],
    (raw) => {
      readMidi(raw);
      return [];
    },
  ),
  {
    name: 'an address',
    knock: (roll) => {
      const input = hostileText(roll, [
        '/',
        '/assets/index.js',
        '/%2e%2e/secret',
        '#/charts/k-1/edit',
      ]);
      return {
        input,
        read: () => {
          const found = viewFile(folder, input);
          if (found && !found.path.startsWith(folder + path.sep))
            throw new Error(`it leads out of the view: ${found.path}`);
          return [];
        },
      };
    },
  },
];
