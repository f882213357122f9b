// D.C., D.S., Fine and coda against npm musicxml-io 0.9.6, which follows them by itself.
import * as io from 'musicxml-io';
import { expect, test } from 'vitest';
import { playForm } from '../../app/core/units/bars/played-bars.ts';
import { readMusicXml } from '../../app/core/exchange/musicxml/read/read.ts';
import { unwrap } from '../../app/core/base/result.ts';

const SIGNS: Record<string, string> = {
  '|:': '<barline location="left"><repeat direction="forward"/></barline>',
  ':|': '<barline location="right"><repeat direction="backward"/></barline>',
  segno: '<direction><direction-type><segno/></direction-type><sound segno="s"/></direction>',
  coda: '<direction><direction-type><coda/></direction-type><sound coda="c"/></direction>',
};
const words = (text: string): string =>
  `<direction><direction-type><words>${text}</words></direction-type></direction>`;

/** One bar for each chord, after its signs or words. */
const score = (bars: readonly (readonly string[])[]): string =>
  `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>G</part-name></score-part></part-list><part id="P1">${bars
    .map(([chord, ...signs], i) => {
      const right = signs.filter((sign) => sign === ':|');
      const left = signs.filter((sign) => sign !== ':|');
      const read = (sign: string): string => SIGNS[sign] ?? words(sign);
      return `<measure number="${i + 1}">${i === 0 ? '<attributes><divisions>1</divisions></attributes><sound tempo="90"/>' : ''}${left.map(read).join('')}<harmony><root><root-step>${chord}</root-step></root><kind>major</kind></harmony><note><rest/><duration>4</duration><voice>1</voice></note>${right.map(read).join('')}</measure>`;
    })
    .join('')}</part></score-partwise>`;

test.each<[string, string[][]]>([
  ['D.C.', [['A'], ['B'], ['C', 'D.C.']]],
  ['D.C. al Fine', [['A'], ['B', 'Fine'], ['C', 'D.C. al Fine']]],
  ['D.S. al Fine', [['A'], ['B', 'segno'], ['C', 'Fine'], ['D', 'D.S. al Fine']]],
  ['D.C. al Coda', [['A', 'To Coda'], ['B'], ['C', 'D.C. al Coda'], ['D', 'coda']]],
  [
    'D.S. al Coda',
    [['A'], ['B', 'segno'], ['C', 'To Coda'], ['D', 'D.S. al Coda'], ['E', 'coda'], ['F']],
  ],
  [
    'a repeat before D.C.',
    [
      ['A', '|:'],
      ['B', ':|'],
      ['C', 'Fine'],
      ['D', 'D.C. al Fine'],
    ],
  ],
])('%s is played in the same order', (_, bars) => {
  const file = score(bars);
  const theirs = io.generatePlaybackSequence(io.parse(file)).map((m) => bars[m.measureIndex]![0]);
  const { chart, warnings } = unwrap(readMusicXml(file));
  const ours = unwrap(playForm(chart)).map(
    ({ chords, held }) => (chords[0]?.chord ?? held)?.symbol,
  );
  expect(warnings).toEqual([]);
  expect(ours).toEqual(theirs);
});
