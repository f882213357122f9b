// A chart as a MusicXML 4.0 score: the form written out, chords with diagrams over slashes.
import { ok, type Result } from '../../result.ts';
import type { ChartBody } from '../../chart/model.ts';
import { measureElements } from './measures-write.ts';
import { sheetOf } from './sheet.ts';
import { element, printDocument } from './xml-write.ts';

/**
 * Sections that the form does not play are left out. Each time through a section stands under its
 * own rehearsal mark, so that any reader plays the form; repeats and endings inside one stay signs.
 */
export function writeMusicXml(chart: ChartBody): Result<string> {
  const sheet = sheetOf(chart);
  if (!sheet.ok) return sheet;
  const score = element(
    'score-partwise',
    [
      element('work', [element('work-title', chart.title)]),
      element('identification', [element('encoding', [element('software', 'Rungwise')])]),
      element('part-list', [element('score-part', [element('part-name', 'Guitar')], { id: 'P1' })]),
      element('part', measureElements(sheet.value), { id: 'P1' }),
    ],
    { version: '4.0' },
  );
  return ok(printDocument(score));
}
