// Lead lines inside a chart: typed under their section, printed back, filed, played and pointed at.
import { describe, expect, it } from 'vitest';
import { readChartFile } from '../../../app/core/chart/chart-file.ts';
import { writeChartFile } from '../../support/chart-file.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { parseUnitKey } from '../../../app/core/units/keys.ts';
import { listUnits, resolveUnit } from '../../../app/core/units/resolve.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const TEXT = `title: Copper Kite
key: G
tempo: ♩ = 100
meter: 4/4

[Verse]
| G | C | D | G |
line: Hook, bar 2
part Guitar 1: | 8 3/5 h7 p5 4/7 2 3/5 | 4. 3/7b1r 8 - 2 r |
part Guitar 2: Guitar 1, octave up

form:
Verse x2
`;
const chart: Chart = { id: 'copper-kite', ...unwrap(parseChart(TEXT)) };

it('prints what was typed and reads what it prints', () => {
  const printed = printChart(chart);
  expect(printed).toContain('line: Hook, bar 2');
  expect(printed).toContain('part Guitar 2: Guitar 1, octave up');
  expect({ id: 'copper-kite', ...unwrap(parseChart(printed)) }).toEqual(chart);
});

it('survives its file', () => {
  expect(unwrap(readChartFile(writeChartFile(chart)))).toEqual(chart);
});

describe('a line is a unit', () => {
  const unit = (key: string) => unwrap(resolveUnit(chart, unwrap(parseUnitKey(key))));

  it.each<[string, number[]]>([
    ['lead:Verse:Hook:Guitar 1:alone', [2, 3]],
    ['lead:Verse:Hook:Guitar 1:neighbours', [1, 2, 3, 4]],
    ['lead:Verse:Hook:Guitar 2:section', [1, 2, 3, 4]],
  ])('%s', (key, bars) => {
    expect(unit(key).key).toBe(key);
    expect(unit(key).bars.map((bar) => bar.bar)).toEqual(bars);
  });

  it('has every playable part in its bars', () => {
    const [first] = unit('lead:Verse:Hook:Guitar 1:alone').bars;
    expect(first!.leads!.map((line) => line.part)).toEqual(['Guitar 1', 'Guitar 2']);
  });

  it('is listed with the units of the chart', () => {
    const keys = listUnits(chart).map((u) => u.key);
    expect(keys).toContain('lead:Verse:Hook:Guitar 2:alone');
  });

  it('has a history of its own, and leaves that of the chords alone', () => {
    const without = { ...chart, sections: chart.sections.map(({ leads: _, ...rest }) => rest) };
    const verse = { kind: 'section', section: 'Verse' } as const;
    expect(unwrap(resolveUnit(without, verse)).fingerprint).toBe(unit('section:Verse').fingerprint);
    const parts = ['Guitar 1', 'Guitar 2'].map((part) => unit(`line:Verse:Hook:${part}:alone`));
    expect(parts[0]!.fingerprint).not.toBe(parts[1]!.fingerprint);
  });
});

describe('mistakes are named by line of the text, part, bar and entry', () => {
  const problems = (from: string, to: string) => {
    const result = parseChart(TEXT.replace(from, to));
    return result.ok ? [] : result.problems;
  };
  it.each<[string, string, string, RegExp, number]>([
    [
      'a bar that is too long',
      '2 3/5 |',
      '1 3/5 |',
      /‘Verse’: ‘Hook’, Guitar 1, bar 1 lasts 6 quarter notes/,
      9,
    ],
    [
      'a pull-off that goes up',
      'p5 4/7',
      'p9 4/7',
      /Guitar 1, bar 1, entry 3: a pull-off must go down/,
      9,
    ],
    [
      'a note that cannot be read',
      '4/7',
      '47/',
      /Guitar 1, bar 1, entry 5: “47\/” is not a note/,
      9,
    ],
    ['a line past its section', 'bar 2', 'bar 4', /has a bar 2, but its section ends/, 9],
    ['a part that follows nothing', 'Guitar 1, oct', 'Guitar 9, oct', /follows ‘Guitar 9’/, 10],
    ['a line without a bar', 'line: Hook, bar 2', 'line: Hook', /lacks its first bar/, 8],
  ])('%s', (_, from, to, message, line) => {
    const found = problems(from, to).find((p) => message.test(p.message));
    expect(found?.span?.line, JSON.stringify(problems(from, to))).toBe(line);
    expect(found?.cure).toBeTruthy();
  });
});
