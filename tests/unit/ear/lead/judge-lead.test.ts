// The ear on a lead line: right, wrong, late, missing, bent too little. Sound is our own line voice;
// sampled guitars are judged in the bench and in tests/reference.
import { describe, expect, it } from 'vitest';
import type { Chart } from '../../../../app/core/model/chart.ts';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { resolveUnit } from '../../../../app/core/units/resolve.ts';
import { judgeLead } from '../../../../app/core/ear/lead/judge-lead.ts';
import { EAR_RATE } from '../../../../app/core/ear/rate.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import type { Bpm } from '../../../../app/core/base/units.ts';
import { leadTones } from '../../../../app/core/sound/lead/tones.ts';
import { renderLead } from '../../../support/render-lead.ts';
import { leadMoments, type LeadMoment } from '../../../../app/core/timeline/lead.ts';
import { NETWORK } from '../../../support/network.ts';

const PART = '| 4 3/5 3/7 h9 2/8 | 2 3/7b1 4 2/10~ r |';

function momentsOf(part: string, bpm: Bpm): readonly LeadMoment[] {
  const text = `title: T\ntempo: q = 90\nmeter: 4/4\n\n[A]\n| G | G |\nline: L, bar 1\npart One: ${part}\n`;
  const chart: Chart = { id: 'c', ...unwrap(parseChart(text)) };
  const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'A' }));
  return leadMoments(unit, bpm, { countIn: 'one', restBars: 0 }, { lead: 'L', part: 'One' });
}

const written = momentsOf(PART, 90);

/** The take of a player who does something else with one note. */
function judged(change: (moment: LeadMoment, index: number) => LeadMoment | null = (m) => m) {
  const played = written.flatMap((moment, i) => change(moment, i) ?? []);
  const samples = renderLead(leadTones(played), 10 * EAR_RATE, EAR_RATE);
  return judgeLead(written, { samples, start: 0 }, 35, NETWORK);
}
const at = (index: number, other: (moment: LeadMoment) => LeadMoment | null) =>
  judged((moment, i) => (i === index ? other(moment) : moment));
const shifted = (moment: LeadMoment, by: number): LeadMoment => ({
  ...moment,
  seconds: moment.seconds + by,
});

it('hears a line played as written as right and on time', () => {
  const { notes, tuning } = judged();
  expect(notes.map((note) => [note.pitch, note.timing])).toEqual(
    written.map(() => ['right', 'on-time']),
  );
  expect(Math.abs(tuning!)).toBeLessThan(5);
});

it('names the place of every note as the chart does', () => {
  expect(judged().notes.map(({ bar, entry }) => [bar, entry])).toEqual([
    [0, 1],
    [0, 2],
    [0, 3],
    [0, 4],
    [1, 1],
    [1, 2],
  ]);
});

describe('what goes wrong', () => {
  it('a fret too high is a wrong pitch, and says which', () => {
    const note = at(1, (m) => ({ ...m, notes: [{ ...m.notes[0]!, pitch: 63 }] })).notes[1]!;
    expect(note).toMatchObject({ pitch: 'wrong', heard: 63 });
  });

  it('80 ms late is late, by about that much', () => {
    const note = at(3, (m) => shifted(m, 0.08)).notes[3]!;
    expect(note.timing).toBe('late');
    expect(note.offset).toBeGreaterThan(65);
    expect(note.offset).toBeLessThan(95);
  });

  it('a note that comes 100 ms early takes nothing from the one before', () => {
    const quick = momentsOf('| 8 3/5 3/7 2/5 2/8 4 3/7 2/5 | 8 3/7 1/7 4 2/10 2 r |', 140);
    const played = quick.map((moment, i) => (i === 3 ? shifted(moment, -0.1) : moment));
    const samples = renderLead(leadTones(played), 10 * EAR_RATE, EAR_RATE);
    const { notes } = judgeLead(quick, { samples, start: 0 }, 35, NETWORK);
    expect(notes[2]).toMatchObject({ pitch: 'right', timing: 'on-time' });
    expect(notes[3]).toMatchObject({ pitch: 'right', timing: 'early' });
  });

  it('a note left out is silent', () => {
    expect(at(5, () => null).notes[5]).toMatchObject({ timing: 'silent', pitch: 'silent' });
  });

  it('a bend that stops a quarter-tone short is wrong, with its cents', () => {
    const short = (m: LeadMoment): LeadMoment => ({
      ...m,
      notes: [{ ...m.notes[0]!, bend: { semitones: 1.5 as 1, release: false } }],
    });
    const note = at(4, short).notes[4]!;
    expect(note.pitch).toBe('wrong');
    expect(note.bend).toBeGreaterThan(-60);
    expect(note.bend).toBeLessThan(-40);
  });

  it('silence is silence, not a verdict on pitch', () => {
    const { notes, tuning } = judged(() => null);
    expect(new Set(notes.map((note) => note.pitch))).toEqual(new Set(['silent']));
    expect(tuning).toBeUndefined();
  });
});

it('follows a guitar that is 30 cents flat and says so', () => {
  const flat = (m: LeadMoment): LeadMoment => ({
    ...m,
    notes: m.notes.map((n) => ({ ...n, ...(n.pitch !== undefined && { pitch: n.pitch - 0.3 }) })),
  });
  const { notes, tuning } = judged(flat);
  expect(tuning).toBeGreaterThan(-36);
  expect(tuning).toBeLessThan(-24);
  expect(notes.every((note) => note.pitch === 'right')).toBe(true);
});
