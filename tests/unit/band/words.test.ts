// The band's words in the notation: read, printed, carried to every bar, refused with a cure.
import { describe, expect, it } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { bandAt } from './example.ts';

const text = (head: string, section: string) =>
  `title: Ferry Lights\ntempo: 90\nmeter: 4/4\n${head}\n\n[Verse]\n| G | C |\n\n[Bridge]\n${section}\n| Em | D |\n\nform:\nVerse\nBridge\n`;
const form = (typed: string) =>
  unwrap(resolveUnit({ ...unwrap(parseChart(typed)), id: 'x' }, { kind: 'form' }));

describe('the words of the band', () => {
  it('at the head hold for all bars, a section’s own stand above them one by one', () => {
    const unit = form(text('drums: brushes\nbass: roots', 'drums: half time\nband: soft'));
    expect(unit.bars.map((bar) => bar.band)).toEqual([
      { drums: 'brushes', bass: 'roots' },
      { drums: 'brushes', bass: 'roots' },
      { drums: 'half-time', bass: 'roots', level: 'soft' },
      { drums: 'half-time', bass: 'roots', level: 'soft' },
    ]);
  });

  it('are printed as they are read', () => {
    const chart = unwrap(parseChart(text('drums: brushes', 'band: off')));
    expect(printChart(chart)).toContain('drums: brushes');
    expect(unwrap(parseChart(printChart(chart)))).toEqual(chart);
  });

  it('silence the band where it is off', () => {
    const { drums, bass } = bandAt(form(text('', 'band: off')), { bpm: 60 });
    expect(Math.max(...[...drums, ...bass].map((event) => event.seconds))).toBeLessThan(8);
    expect(bass.every((note) => note.until <= 8)).toBe(true);
  });

  it('that nobody can play are refused with those that can', () => {
    const read = parseChart(text('drums: cowbell', 'band: soft'));
    expect(read.ok ? [] : read.problems.map((p) => `${p.message} ${p.cure}`)).toEqual([
      '“cowbell” is nothing that the drums can play Write one of off, kit, brushes, rim, hats, half-time.',
    ]);
  });
});
