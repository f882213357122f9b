// A chart as a MusicXML 4.0 score: the form written out, chords with diagrams over slashes, lead lines as tablature.
import { ok, type Result } from '../../../base/result.ts';
import type { ChartBody } from '../../../model/chart.ts';
import { leadMeasures, leadStaves, staffName } from './leads.ts';
import { chordMeasures } from './measures.ts';
import { WORDS_PART, hasWords, wordsMeasures } from './words.ts';
import { sheetOf } from '../sheet.ts';
import { type XmlElement, element, printDocument } from '../xml-write.ts';

/**
 * Sections that the form does not play are left out. Each time through a section stands under its
 * own rehearsal mark, so that any reader plays the form; repeats and endings inside one stay signs.
 */
export function writeMusicXml(chart: ChartBody): Result<string> {
  const sheet = sheetOf(chart);
  if (!sheet.ok) return sheet;
  const staves = leadStaves(sheet.value);
  const parts = [
    { name: 'Guitar', measures: chordMeasures(sheet.value) },
    ...staves.map((staff) => ({
      name: staffName(staff),
      measures: leadMeasures(sheet.value, staff),
    })),
    ...(hasWords(sheet.value) ? [{ name: WORDS_PART, measures: wordsMeasures(sheet.value) }] : []),
  ];
  const score = element(
    'score-partwise',
    [
      element('work', [element('work-title', chart.title)]),
      element('identification', [
        ...(chart.by === undefined ? [] : [element('creator', chart.by, { type: 'composer' })]),
        element('encoding', [element('software', 'Rungwise')]),
      ]),
      element(
        'part-list',
        parts.map(({ name }, i) => partName(name, i)),
      ),
      ...parts.map(({ measures }, i) => element('part', measures, { id: `P${i + 1}` })),
    ],
    { version: '4.0' },
  );
  return ok(printDocument(score));
}

const partName = (name: string, index: number): XmlElement =>
  element('score-part', [element('part-name', name)], { id: `P${index + 1}` });
