// A chart as it is kept, sent and compared: the typed notation itself, with a line that says which chart it is.
import { type Result, fail, ok } from '../../base/result.ts';
import type { Chart, Meter, Tempo } from '../../model/chart.ts';
import { parseMeter, parseTempo } from './fields.ts';
import { parseStoredChart } from './parse.ts';
import { printChart } from './print.ts';

/** Ends the name of a chart's file. */
export const CHART_SUFFIX = '.chart.txt';

const ID_LINE = /^\uFEFF?id:[ \t]*([A-Za-z0-9-]{1,64})[ \t]*$/m;
const TITLE_LINE = /^\uFEFF?title:[ \t]*(.+?)[ \t]*$/m;
const SECTION_LINE = /^\[/m;

/** Each is absent where the text does not say, or not plainly. */
export interface ChartBrief {
  readonly id?: string;
  readonly title?: string;
  readonly tempo?: Tempo;
  readonly meter?: Meter;
  readonly swung?: boolean;
}

/** The chart as it is kept: its id on the first line, then the notation. */
export const writeChartText = (chart: Chart): string => `id: ${chart.id}\n${printChart(chart)}`;

/** What stands above the first section; `start` may break off after it. */
export function readChartHead(start: string): ChartBrief {
  const section = SECTION_LINE.exec(start);
  const head = section ? start.slice(0, section.index) : start;
  const [, id] = ID_LINE.exec(head) ?? [];
  const [, title] = TITLE_LINE.exec(head) ?? [];
  const meter = parseMeter(valueOf(head, 'meter') || '4/4');
  const tempo = meter.ok ? parseTempo(valueOf(head, 'tempo'), meter.value) : meter;
  return {
    ...(id === undefined ? {} : { id }),
    ...(title === undefined ? {} : { title }),
    ...(tempo.ok ? { tempo: tempo.value } : {}),
    ...(meter.ok ? { meter: meter.value } : {}),
    swung: /^swing/i.test(valueOf(head, 'feel')),
  };
}

const valueOf = (head: string, key: string): string =>
  new RegExp(`^${key}:[ \\t]*(.*?)[ \\t]*$`, 'm').exec(head)?.[1] ?? '';

/** What is typed of it: the text without the line that says which chart it is. */
export const typedText = (text: string): string => text.replace(/^\uFEFF?id:[^\n]*\n/, '');

/** How many sections a whole text has. */
export const countSections = (text: string): number => text.match(/^\[/gm)?.length ?? 0;

/**
 * The chart, or every problem with its line and column; never throws, whatever the text holds.
 * @param id of a text that does not say.
 */
export function readChartText(text: string, id: string): Result<Chart> {
  const head = readChartHead(text);
  try {
    // The line stays, empty, so that later lines keep their numbers.
    const read = parseStoredChart(head.id === undefined ? text : text.replace(ID_LINE, ''));
    return read.ok ? ok({ id: head.id ?? id, ...read.value.chart }) : read;
  } catch (error) {
    return fail({
      code: 'chart-unreadable',
      message: `the text could not be read: ${error instanceof Error ? error.message : String(error)}`,
      cure: 'Change the place that was typed last, or take an earlier version.',
    });
  }
}
