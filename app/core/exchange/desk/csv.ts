// Tables as CSV (RFC 4180), and the log as such a table.
import Papa from 'papaparse';
import { broken } from '../../progress/changes.ts';
import type { PassRecord } from '../../model/pass.ts';
import { isOverruled, judgedBefore } from '../../log/teachers-word.ts';
import { sayJudgement } from '../../progress/words.ts';

export type Cell = string | number | boolean | undefined;

/**
 * Header and rows. Text that a spreadsheet would run as a formula (it starts with = + - @, a tab or a
 * carriage return) gets an apostrophe in front, as OWASP's page on CSV injection advises; numbers stay numbers.
 */
export function writeCsv(header: readonly string[], rows: Iterable<readonly Cell[]>): string {
  const options = { newline: '\r\n', escapeFormulae: /^[=+\-@\t\r]/ };
  return `${Papa.unparse([[...header], ...Array.from(rows, (row) => [...row])], options)}\r\n`;
}

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
  'cold',
  'seconds',
  'audio trouble',
  'changes heard',
  'changes broken',
  'session',
  'id',
] as const;

/** The log, one line per pass. */
export const logCsv = (passes: readonly PassRecord[]): string =>
  writeCsv(LOG_HEADER, passes.map(passRow));

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
    pass.cold,
    Math.round(pass.duration * 1000) / 1000,
    pass.underrun === true,
    pass.changes?.length,
    pass.changes?.filter(broken).length,
    pass.session,
    pass.id,
  ];
}
