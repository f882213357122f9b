// CSV, read back by an independent parser (papaparse, RFC 4180 rules).
import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { logCsv, spreadsheetCsv, writeCsv } from '../../../../app/core/exchange/desk/csv.ts';
import { deskCsv } from '../../../../app/core/exchange/desk/csv-tables.ts';
import { needsOf } from '../../../../app/core/progress/help.ts';
import { standingOf } from '../../../../app/core/progress/standing.ts';
import { assignments, emptyDesk, passes, played } from './example.ts';

const read = (text: string): string[][] => {
  const { data, errors } = Papa.parse<string[]>(text, { newline: '\r\n', delimiter: ',' });
  expect(errors).toEqual([]);
  return data.slice(0, -1); // the empty line after the last CRLF
};

describe('writeCsv', () => {
  it('quotes what must be quoted and nothing else', () => {
    // RFC 4180, section 2: CRLF (1), fields with commas, quotes or breaks quoted (6), quotes doubled (7).
    expect(
      writeCsv(
        ['a', 'b'],
        [
          ['x,y', 'say "go"'],
          ['two\r\nlines', 1.5],
        ],
      ),
    ).toBe('a,b\r\n"x,y","say ""go"""\r\n"two\r\nlines",1.5\r\n');
  });

  it('disarms text that a spreadsheet would run, but no number', () => {
    // OWASP, CSV injection: = + - @ tab and carriage return at the start of a field.
    expect(writeCsv(['f'], [['=SUM(A1)'], ['-2'], [-2], ['@x']])).toBe(
      `f\r\n"'=SUM(A1)"\r\n"'-2"\r\n-2\r\n"'@x"\r\n`,
    );
  });

  it('is read back by another parser, whatever the text', () => {
    const text = fc.string({ unit: 'grapheme' }).map((s) => s.replace(/^[=+\-@\t\r]+/, '.'));
    const row = fc.array(text, { minLength: 2, maxLength: 4 });
    fc.assert(
      fc.property(fc.array(row, { maxLength: 5 }), (rows) => {
        expect(read(writeCsv(['h1', 'h2'], rows))).toEqual([['h1', 'h2'], ...rows]);
      }),
    );
  });
});

describe('a table for a spreadsheet', () => {
  const rows = [
    ['Zoë', 92.5, -1],
    ['=2+2; x', 3, undefined],
  ] as const;
  it('has a semicolon, a decimal comma and a mark where the language asks for them', () => {
    expect(writeCsv(['name', 'bpm', 'n'], rows, spreadsheetCsv(','))).toBe(
      '\ufeffname;bpm;n\r\nZoë;92,5;-1\r\n"\'=2+2; x";3;\r\n',
    );
  });
  it('keeps a number below zero a number', () => {
    expect(writeCsv(['n'], [[-1.5]], spreadsheetCsv(','))).toBe('\ufeffn\r\n-1,5\r\n');
  });
  it('has a comma and a mark elsewhere', () => {
    expect(writeCsv(['name', 'bpm', 'n'], rows.slice(0, 1), spreadsheetCsv('.'))).toBe(
      '\ufeffname,bpm,n\r\nZoë,92.5,-1\r\n',
    );
  });
  it.each([
    '=1+1',
    ' =1+1',
    '\t=A1',
    '@SUM(A1)',
    '\uff1dA1',
    '+A1',
    '-A1',
    '\n=A1',
    '=1,2',
    '+1,5',
  ])('never lets %j run as a formula', (text) => {
    expect(writeCsv(['f'], [[text]], spreadsheetCsv(';'))).toMatch(/\n"?'/);
  });
});

describe('logCsv', () => {
  it('has one line per pass, with who judged', () => {
    const heard = { bar: 0, change: 0, from: 'C', to: 'F', confidence: 1 } as const;
    const changes = [
      { ...heard, timing: 'late', chord: 'right' },
      { ...heard, timing: 'on-time', chord: 'right' },
    ] as const;
    const [header, ...rows] = read(
      logCsv([...passes, played('2031-04-10T18:00:00+02:00', 0, { verdict: 'unjudged', changes })]),
    );
    expect(rows).toHaveLength(4);
    const last = Object.fromEntries(header!.map((name, i) => [name, rows[3]![i]]));
    expect(last).toMatchObject({
      time: '2031-04-10T18:00:00+02:00',
      bpm: '80',
      verdict: 'unjudged',
      'judged by': '',
      'changes heard': '2',
      'changes broken': '1',
    });
    expect(rows[1]).toContain('ear');
  });

  it('tells where a pass broke, who said so, what step led to it and what it was played within', () => {
    const broke = { bar: 2, change: 2, from: 'D', to: 'Em', by: 'pedal' } as const;
    const at = '2031-04-10T18:00:00+02:00';
    const [header, ...rows] = read(
      logCsv([
        played(at, 0, { verdict: 'missed', broke, after: 'slower' }),
        played(at, 1, {
          verdict: 'missed',
          broke: { ...broke, from: '', to: '' },
          within: 'drill',
        }),
      ]),
    );
    const told = rows.map((row) =>
      ['broke at', 'place said by', 'came after', 'within'].map((n) => row[header!.indexOf(n)]),
    );
    expect(told).toEqual([
      ['bar 3, D to Em', 'pedal', 'slower', ''],
      ['bar 3', 'pedal', '', 'drill'],
    ]);
  });
});

describe('deskCsv', () => {
  it('has one line per assignment and never a bare number for what is not known', () => {
    const student = { ...emptyDesk, id: 'student-1', name: 'Ada, the younger' };
    const placed = assignments.map((assignment) => ({
      assignment,
      standing: standingOf({ ...assignment.terms.rules, passes: [], asOf: '2031-04-10' }),
      other: [],
      accepted: [],
    }));
    const table = [{ student, placed, needs: needsOf(placed, '2031-04-20') }];
    const [header, ...rows] = read(deskCsv(table, ({ name }) => name));
    expect(rows).toHaveLength(3);
    const first = Object.fromEntries(header!.map((name, i) => [name, rows[0]![i]]));
    expect(first).toMatchObject({
      student: 'Ada, the younger',
      due: '2031-05-01',
      'owned tempo': '',
      'owned is': 'not enough passes yet',
      'needs help': 'not begun',
    });
  });

  it('has a line for a student without anything set', () => {
    const student = { ...emptyDesk, id: 'student-2', name: 'Ben' };
    const [header, ...rows] = read(
      deskCsv([{ student, placed: [], needs: [] }], ({ name }) => `${name} (2)`),
    );
    expect(rows).toEqual([['Ben (2)', ...header!.slice(1).map(() => '')]]);
  });
});
