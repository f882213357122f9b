// Tables as CSV (RFC 4180), and the log as such a table.
import Papa from 'papaparse';
import { changesCounted } from '../../log/players-word.ts';
import { broken } from '../../progress/changes.ts';
import type { PassRecord } from '../../model/pass.ts';
import type { BreakPlace } from '../../model/unit.ts';
import { isOverruled, judgedBefore } from '../../log/teachers-word.ts';
import { sayJudgement } from '../../progress/words.ts';

export type Cell = string | number | boolean | undefined;

/** How a table is written. */
export interface CsvForm {
  readonly separator: ',' | ';';
  readonly decimal: '.' | ',';
  /** Begins with a byte order mark, without which spreadsheets read names as another alphabet. */
  readonly mark: boolean;
}

/** As RFC 4180 has it. */
const PLAIN_CSV: CsvForm = { separator: ',', decimal: '.', mark: false };

/**
 * As a spreadsheet of that language opens it by a double click: where numbers have a decimal comma the
 * list separator is a semicolon (Windows' regional settings; common practice, no source).
 */
export function spreadsheetCsv(decimal: string): CsvForm {
  return decimal === ','
    ? { separator: ';', decimal: ',', mark: true }
    : { separator: ',', decimal: '.', mark: true };
}

/**
 * Header and rows. Text that a spreadsheet would run as a formula (it starts with = + - @ or their full-width
 * forms, a tab, a line break, or with spaces before one of them) gets an apostrophe in front, as OWASP's page
 * on CSV injection advises; numbers stay numbers.
 */
export function writeCsv(
  header: readonly string[],
  rows: Iterable<readonly Cell[]>,
  { separator, decimal, mark }: CsvForm = PLAIN_CSV,
): string {
  const cell = (value: Cell): Cell =>
    typeof value === 'number' && decimal === ',' && !Number.isInteger(value)
      ? decimalComma(value)
      : value;
  const options = {
    newline: '\r\n',
    delimiter: separator,
    // A number with a decimal comma is text by now, and may be below zero.
    escapeFormulae: /^(?:\s*(?:[=+@\uff1d\uff0b\uff0d\uff20]|-(?!\d+,\d+$))|[\t\r\n])/,
  };
  const body = Papa.unparse([[...header], ...Array.from(rows, (row) => row.map(cell))], options);
  return `${mark ? BYTE_ORDER_MARK : ''}${body}\r\n`;
}

const BYTE_ORDER_MARK = '\ufeff';

/** 92.5 → "92,5". */
const decimalComma = (value: number): string => String(value).replace('.', ',');

const LOG_HEADER = [
  'time',
  'chart',
  'unit',
  'bpm',
  'beat',
  'rung',
  'rungs',
  'target',
  'verdict',
  'judged by',
  'ear said',
  'before the teacher',
  'remark',
  'broke at',
  'place said by',
  'came after',
  'within',
  'cold',
  'seconds',
  'audio trouble',
  'changes heard',
  'changes broken',
  'changes upheld by the player',
  'session',
  'id',
] as const;

/** The log, one line per pass. */
export const logCsv = (passes: readonly PassRecord[], form?: CsvForm): string =>
  writeCsv(LOG_HEADER, passes.map(passRow), form);

/** "bar 3, D to Em"; without a change the bar alone. */
const brokeAt = ({ bar, from, to }: BreakPlace): string =>
  from === '' ? `bar ${bar + 1}` : `bar ${bar + 1}, ${from} to ${to}`;

function passRow(pass: PassRecord): Cell[] {
  return [
    pass.at,
    pass.chart.title,
    pass.unit.name,
    pass.rung.bpm,
    pass.rung.beat,
    pass.rung.index + 1,
    pass.rung.of,
    pass.rung.target,
    pass.verdict,
    pass.verdict === 'unjudged' ? undefined : pass.source,
    pass.earVerdict,
    isOverruled(pass) ? sayJudgement(judgedBefore(pass), 'by the player') : undefined,
    isOverruled(pass) ? pass.word?.remark : undefined,
    pass.broke && brokeAt(pass.broke),
    pass.broke?.by,
    pass.after,
    pass.within,
    pass.cold,
    Math.round(pass.duration * 1000) / 1000,
    pass.underrun === true,
    pass.changes?.length,
    pass.changes && changesCounted(pass).filter(broken).length,
    pass.played?.length,
    pass.session,
    pass.id,
  ];
}
