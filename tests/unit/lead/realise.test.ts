// From the parts of a lead line to what each guitar plays; what cannot be played is named, the rest stays.
import { expect, it } from 'vitest';
import type { Lead, LeadPart } from '../../../app/core/model/lead.ts';
import { parsePart, printPart } from '../../../app/core/lead/notation.ts';
import { type PitchedBar, toPitches } from '../../../app/core/lead/pitched.ts';
import { placesFor, realiseLead } from '../../../app/core/lead/realise.ts';
import { readTuning, STANDARD } from '../../../app/core/harmony/tunings.ts';
import { rational } from '../../../app/core/base/rational.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const setting = { tuning: STANDARD, capo: 0, key: 'C' };
const written = (name: string, text: string): LeadPart => ({
  kind: 'written',
  name,
  bars: unwrap(parsePart(text, name)),
});
const lead = (...parts: LeadPart[]): Lead => ({ name: 'Hook', bar: 1, parts });
const pitchesIn = ({ events }: PitchedBar) =>
  events.flatMap((event) => (event.kind === 'notes' ? event.notes.map(({ pitch }) => pitch) : []));
const bars = [rational(4), rational(4)];

it('a lead from string 3 fret 7 can be played an octave up from string 2 fret 15 (common practice, no source)', () => {
  const octave: LeadPart = {
    kind: 'derived',
    name: 'Guitar 2',
    from: 'Guitar 1',
    by: { kind: 'octave', direction: 'up' },
  };
  const { parts } = realiseLead(
    lead(written('Guitar 1', '4 3/7 3/9 2/8 2/10'), octave),
    setting,
    bars,
  );
  const ways = unwrap(placesFor(parts[1]!, setting)).map((way) => printPart(way.bars));
  expect(ways.some((way) => way.startsWith('| 4 2/15 '))).toBe(true);
});

it('leaves out a part that cannot be played and keeps the others', () => {
  const late = written('Guitar 2', '1 3/5 | 1 3/5 | 1 3/5');
  const { parts, problems } = realiseLead(lead(written('Guitar 1', '1 3/5'), late), setting, bars);
  expect(parts.map((part) => part.name)).toEqual(['Guitar 1']);
  expect(problems).toMatchObject([
    { message: expect.stringContaining('‘Hook’, Guitar 2 has a bar 3') },
  ]);
});

it('says when a part follows one that is not there', () => {
  const orphan: LeadPart = {
    kind: 'derived',
    name: 'Guitar 2',
    from: 'Guitar 9',
    by: { kind: 'scale', interval: 3, direction: 'up' },
  };
  expect(realiseLead(lead(orphan), setting, bars).problems).toMatchObject([
    { code: 'lead-source', message: expect.stringContaining('‘Guitar 9’') },
  ]);
});

it('counts the capo: the neck ends earlier above it', () => {
  const high = lead(written('Guitar 1', '1 1/20'));
  expect(realiseLead(high, setting, bars).problems).toEqual([]);
  expect(realiseLead(high, { ...setting, capo: 3 }, bars).problems).toMatchObject([
    { code: 'lead-fret' },
  ]);
});

it.each([
  ['a capo at fret 2', { ...setting, capo: 2 }],
  ['a capo at fret 9', { ...setting, capo: 9 }],
  [
    'a guitar tuned down by a half step',
    { ...setting, tuning: unwrap(readTuning('half step down')) },
  ],
  ['both', { ...setting, capo: 3, tuning: unwrap(readTuning('D G C F A D')) }],
])('thirds of the key that is fingered stay thirds of it with %s', (_, played) => {
  const by = { kind: 'scale', interval: 3, direction: 'up' } as const;
  const third: LeadPart = { kind: 'derived', name: 'Guitar 2', from: 'Guitar 1', by };
  const hook = lead(written('Guitar 1', '4 2/1 1/0 1/3 1/5'), third);
  const fingered = ({ parts }: ReturnType<typeof realiseLead>) =>
    toPitches(parts[1]!.bars, STANDARD.strings);
  const there = realiseLead(hook, played, bars);
  expect(there.problems).toEqual([]);
  // C E G A, so E G B C (counted on the scale of C by hand), whatever it sounds.
  expect(fingered(there).flatMap(pitchesIn)).toEqual([64, 67, 71, 72]);
  expect(fingered(there)).toEqual(fingered(realiseLead(hook, setting, bars)));
  const up = unwrap(placesFor(there.parts[0]!, played, by));
  expect(toPitches(up[0]!.bars, STANDARD.strings).flatMap(pitchesIn)).toEqual([64, 67, 71, 72]);
});

it('offers a part moved by an interval, with fingers, cheapest first', () => {
  const { parts } = realiseLead(lead(written('Guitar 1', '4 3/5 3/7 2/5 2/8')), setting, bars);
  const up = unwrap(placesFor(parts[0]!, setting, { kind: 'octave', direction: 'up' }));
  expect(up.map((way) => way.cost.total)).toEqual(
    up.map((way) => way.cost.total).toSorted((a, b) => a - b),
  );
  expect(up[0]!.fingers[0]).toHaveLength(4);
});
