// A unit with lead lines for the tests of files, typed as a teacher would.
import type { Chart } from '../../../app/core/model/chart.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { practiceTrack, type PracticeTrack } from '../../../app/core/exchange/practice-track.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { partsIn } from '../../../app/core/sound/lead/in-lap.ts';
import { PLAIN } from '../timeline/examples.ts';

/** Parts are given as typed after their names, e.g. `{ One: '2 3/5 h7' }`; one bar of 4/4 for each bar in them. */
export function lineUnit(parts: Readonly<Record<string, string>>): Unit {
  const bars = Math.max(...Object.values(parts).map((part) => part.split('|').length));
  const typed = Object.entries(parts).map(([name, part]) => `part ${name}: | ${part} |`);
  const text = `title: T\ntempo: ♩ = 60\nmeter: 4/4\n\n[A]\n|${' G |'.repeat(bars)}\nline: L, bar 1\n${typed.join('\n')}\n`;
  const chart: Chart = { id: 'c', ...unwrap(parseChart(text)) };
  return unwrap(resolveUnit(chart, { kind: 'section', section: 'A' }));
}

/** All its lines at one tempo, once, with nothing before or after. */
export function lineTrack(parts: Readonly<Record<string, string>>, bpm = 60): PracticeTrack {
  const unit = lineUnit(parts);
  const lap = { ...PLAIN, countIn: 'none' } as const;
  const options = { tempos: [bpm], passes: 1, lap, click: 'none', leads: partsIn(unit) } as const;
  return unwrap(practiceTrack(unit, options));
}
