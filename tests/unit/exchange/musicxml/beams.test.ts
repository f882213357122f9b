// Beams show the beats: in the slashes of a strum and on the staff of a lead.
import { expect, test } from 'vitest';
import { unwrap } from '../../../../app/core/base/result.ts';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { writeMusicXml } from '../../../../app/core/exchange/musicxml/write/write.ts';

/** Of the first bar of the last part: what each note's first beam does, or - without one. */
function beamsIn(text: string): string {
  const score = unwrap(writeMusicXml(unwrap(parseChart(`title: T\ntempo: 90\n${text}`))));
  const bar = score.split('<part id=').at(-1)!.split('</measure>')[0]!;
  return bar
    .split('</note>')
    .slice(0, -1)
    .map((note) => /<beam number="1">([a-z ]+)</u.exec(note)?.[1] ?? '-')
    .join(' ');
}

const lead = (meter: string, bar: string, pickup = ''): string =>
  `meter: ${meter}\n[A]\n| ${pickup}G | G |\nline: Hook, bar ${pickup ? 0 : 1}\npart One: | ${bar} |`;

test.each([
  ['4/4 by quarters', lead('4/4', '8 3/5 3/7 3/5 3/7 4 3/5 3/7'), 'begin end begin end - -'],
  [
    '12/8 by dotted quarters',
    lead('12/8', '8 3/5 3/7 3/5 3/7 3/5 3/7 4. 3/5 3/7'),
    'begin continue end begin continue end - -',
  ],
  [
    '7/8 (3+2+2) by its groups',
    lead('7/8 (3+2+2)', '8 3/5 3/7 3/5 3/7 3/5 3/7 3/5'),
    'begin continue end begin end begin end',
  ],
  ['a rest between', lead('2/4', '16 3/5 r 3/5 3/7 4 3/5'), '- - begin end -'],
  ['a pickup by the last beats', lead('4/4', '8 3/5 3/7 3/5', 'pickup 3/8 '), '- begin end'],
  [
    'a strum in 7/8',
    'meter: 7/8\n[A]\nstrum: eighths DU DU DUD\n| G |',
    'begin end begin end begin continue end',
  ],
])('%s', (_, text, beams) => {
  expect(beamsIn(text)).toBe(beams);
});
