// What a text is that somebody opens or pastes: a chart of ours, or a sheet of chords and words that becomes a draft.
import type { Problem } from '../../../app/core/base/result.ts';
import { readAnyChart } from '../../../app/core/chart/notation/any-chart.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import type { ChartBody } from '../../../app/core/model/chart.ts';
import { draftOf } from '../../../app/core/sheets/draft.ts';
import { readSheet } from '../../../app/core/sheets/read.ts';
import { hasChords, leftOutOf } from './sheet-words.ts';

export type Paper =
  | { readonly kind: 'chart' }
  | { readonly kind: 'draft'; readonly chart: ChartBody; readonly notes: readonly string[] }
  | { readonly kind: 'refused'; readonly problems: readonly Problem[] };

/** Lines that only our own notation has: a text with one is a chart, perhaps with mistakes. */
const OWN = /^[^\S\n]*(?:form|strum|words(?: \d+)?|like|part [^:|]+)\s*:/imu;
const JSON_START = /^\uFEFF?\s*[{[]\s*["{[\]}]/u;

/** @param name of the file, for a sheet that says no title. */
export function readPaper(text: string, name: string): Paper {
  const chart = readAnyChart(text, 'new');
  if (chart.ok) return { kind: 'chart' };
  const refused: Paper = { kind: 'refused', problems: chart.problems };
  if (OWN.test(text) || JSON_START.test(text)) return refused;
  const sheet = readSheet(text);
  if (!hasChords(sheet)) return refused;
  const title = name.replace(/\.\w{1,9}$/u, '');
  const draft = draftOf({ ...sheet, title: sheet.title ?? title });
  const read = parseChart(draft.text);
  return read.ok
    ? { kind: 'draft', chart: read.value, notes: [...draft.guesses, ...leftOutOf(sheet)] }
    : { kind: 'refused', problems: read.problems };
}
