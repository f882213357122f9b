// What the view makes of what the ear heard: where a lap lies in the microphone's sound, words, the weakest change, the drill.
import { describe, expect, it } from 'vitest';
import { demoCharts } from '../../../../../app/services/machine/demo-charts.ts';
import { listUnits, resolveUnit } from '../../../../../app/core/units/resolve.ts';
import { USUAL_RULE } from '../../../../../app/core/ear/verdict.ts';
import { rungs } from '../../../../../app/core/ladder/rungs.ts';
import { suggestRules } from '../../../../../app/core/ladder/suggest.ts';
import type { ChangeHeard } from '../../../../../app/core/model/pass.ts';
import { readTuning } from '../../../../../app/core/harmony/tunings.ts';
import type { Unit } from '../../../../../app/core/model/unit.ts';
import { unwrap } from '../../../../../app/core/base/result.ts';
import { buildLap } from '../../../../../app/core/timeline/lap.ts';
import {
  markedBars,
  reportWords,
  signed,
  weakWords,
  worstWords,
} from '../../../../../renderer/parts/ear/ear-words.ts';
import { drillRules, drillUnit } from '../../../../../renderer/state/stage/drill.ts';
import { changesOfLead, namingNotes } from '../../../../../renderer/state/ear/lead-changes.ts';
import { relativeTo, rightOffsets } from '../../../../../renderer/state/ear/relative.ts';
import { ownMoments, takeOfLap } from '../../../../../renderer/state/ear/take-of-lap.ts';
import { weakestOf } from '../../../../../renderer/state/ear/weakest.ts';
import { PLAIN, unitOf } from '../../../timeline/examples.ts';

const RATE = 48_000;
/** A beat at 60 bpm: the usual rule then lets a change be 125 ms late. */
const beat = 1;

const heard = (patch: Partial<ChangeHeard> = {}): ChangeHeard => ({
  bar: 5,
  change: 5,
  from: 'C',
  to: 'F#m',
  offset: 0,
  timing: 'on-time',
  chord: 'right',
  confidence: 1,
  ...patch,
});
const late = heard({ offset: 140, timing: 'late' });

describe('a lap in the microphone’s sound', () => {
  const unit = unitOf([{ chords: [['C', 0]] }, { chords: [['G', 2]] }]);
  const lap = buildLap(unit, 60, PLAIN);
  const listener = { unit, rule: USUAL_RULE, rate: RATE, voicings: null };

  it('comes as much later as the round trip lasts', () => {
    const at = (roundTrip: number) =>
      takeOfLap({ pass: 3, lap, startsAt: 10 }, { ...listener, roundTrip });
    const take = at(0.075);
    if (take.job.kind !== 'chords') throw new Error('chords are climbed');
    const due = take.job.expectation.changes.map((c) => c.due + take.from / RATE);
    // Count-in of 4 s, then C at once and G six beats later.
    expect(due[0]).toBeCloseTo(10 + 4 + 0.075, 9);
    expect(due[1]).toBeCloseTo(10 + 10 + 0.075, 9);
    expect(at(0.175).from - take.from).toBe(4800);
  });

  it('is cut from before its first click to after its last change', () => {
    const { from, to, id } = takeOfLap(
      { pass: 3, lap, startsAt: 10 },
      { ...listener, roundTrip: 0 },
    );
    expect(id).toBe(3);
    expect(from).toBeLessThan(10 * RATE);
    expect(to).toBeGreaterThan((10 + lap.unitEnd + 0.1) * RATE);
  });
});

describe('lateness without a measured delay', () => {
  it('is against the middle of the right changes', () => {
    const changes = [80, 90, 100, 190].map((offset) => heard({ offset, timing: 'late' }));
    const wrong = heard({ offset: 900, chord: 'other', timing: 'late' });
    const offsets = rightOffsets([...changes, wrong]);
    expect(offsets).toEqual([80, 90, 100, 190]);
    const relative = relativeTo(offsets, changes);
    expect(relative.map((c) => c.offset)).toEqual([-15, -5, 5, 95]);
    expect(relative.map((c) => c.timing)).toEqual(['on-time', 'on-time', 'on-time', 'late']);
  });

  it('stays as it is while nothing was right', () => {
    expect(relativeTo([], [late])).toEqual([late]);
  });
});

describe('the weakest change', () => {
  const pass = (...changes: ChangeHeard[]) => ({ pass: 1, beat, changes });
  const good = heard({ bar: 1, change: 1, to: 'G' });

  it('is said with its bar, its middle lateness and how often', () => {
    const passes = [late, late, heard(), heard({ offset: 130, timing: 'late' }), late].map((c) =>
      pass(good, c),
    );
    const weak = weakestOf(passes, USUAL_RULE)!;
    expect(weak).toMatchObject({ bar: 5, change: 5, heard: 5, broke: 4, how: 'late', offset: 140 });
    expect(weakWords(weak, undefined)).toBe('C → F♯m in bar 6: late by 140 ms in 4 of 5');
  });

  it('needs three hearings and two faults; what could not be told does not count', () => {
    expect(weakestOf([pass(late), pass(late)], USUAL_RULE)).toBeUndefined();
    const unsure = heard({ chord: 'unsure', timing: 'unsure' });
    expect(
      weakestOf(
        [late, late, unsure].map((c) => pass(c)),
        USUAL_RULE,
      ),
    ).toBeUndefined();
    expect(
      weakestOf(
        [late, heard(), heard()].map((c) => pass(c)),
        USUAL_RULE,
      ),
    ).toBeUndefined();
  });
});

describe('one look after the pass', () => {
  const report = {
    beat,
    changes: [
      heard({ bar: 0, change: 0, from: '', to: 'C', offset: -60.4 }),
      late,
      heard({ bar: 6, change: 6, chord: 'held', from: 'F#m', to: 'G' }),
      heard({ bar: 6, change: 7, chord: 'unsure', timing: 'unsure' }),
    ],
  };

  it('marks every change by a shape and a number', () => {
    const bars = markedBars(report, USUAL_RULE);
    expect(bars.map((b) => b.number)).toEqual([1, 6, 7]);
    const marks = bars.flatMap((b) => b.changes.map((c) => [c.kind, c.name, c.beside]));
    expect(marks).toEqual([
      ['right', 'C', '−60 ms'],
      ['late', 'F♯m', '+140 ms'],
      ['wrong', 'G', 'still F♯m'],
      ['untold', 'F♯m', ''],
    ]);
  });

  it('says the worst change: a wrong chord before any lateness', () => {
    expect(worstWords(report, USUAL_RULE)).toBe('F♯m → G in bar 7: still F♯m');
    expect(worstWords({ beat, changes: [heard(), late] }, USUAL_RULE)).toBe(
      'C → F♯m in bar 6: late by 140 ms',
    );
    expect(worstWords({ beat, changes: [heard()] }, USUAL_RULE)).toBeUndefined();
  });

  it('writes numbers with their sign', () => {
    expect([140.2, -59.6, 0.3, -0.2].map(signed)).toEqual(['+140', '−60', '0', '0']);
  });
});

describe('a lead line', () => {
  const unit = demoCharts().flatMap((chart) => listUnits(chart, 'lead'))[0]!;

  it('names the note that breaks by string and fret', () => {
    const moments = ownMoments(unit, 60);
    const note = moments[1]!.notes[0]!;
    const notes = moments.map(({ bar, entry }, i) => ({
      ...{ bar, entry, pitch: 'right' as const, confidence: 1 },
      ...(i === 1
        ? { timing: 'late' as const, offset: 160 }
        : { timing: 'on-time' as const, offset: 0 }),
    }));
    const changes = changesOfLead(unit, moments, { notes });
    const name = `string ${note.string}, fret ${note.fret}`;
    expect(worstWords({ beat, changes, notes: namingNotes(moments) }, USUAL_RULE)).toBe(
      `${name} in bar ${moments[1]!.bar + 1}: late by 160 ms`,
    );
  });

  it('marks notes by string and fret', () => {
    const notes = [{ string: 3, fret: 7 } as const, { string: 6, fret: 'muted' } as const];
    const changes = ['string 3, fret 7', 'string 6, muted'].map((to, change) =>
      heard({ to, change }),
    );
    const [bar] = markedBars({ beat, changes, notes }, USUAL_RULE);
    expect(bar!.changes.map((c) => c.name)).toEqual(['3·7', '6·×']);
    expect(bar!.changes[0]!.words).toBe('string 3, fret 7: right and in time');
    const pass = { verdict: 'clean', held: 2, judged: 2, unsure: 0 } as const;
    expect(reportWords({ ...pass, notes })).toBe('Clean by ear: 2 of 2 notes right.');
  });

  it('says which pitch came instead', () => {
    const moments = ownMoments(unit, 60).slice(0, 1);
    const note = { bar: 0, entry: 1, timing: 'on-time', pitch: 'wrong', heard: 60 } as const;
    const told = (played: Pick<Unit, 'capo' | 'tuning'>) =>
      changesOfLead(played, moments, { notes: [{ ...note, offset: 3, confidence: 1 }] })[0];
    // MIDI note 60 is middle C, written C4 (common practice; some makers write C3).
    expect(told(unit)).toMatchObject({ chord: 'other', heard: 'C4', from: '' });
    // Above a capo, and on strings tuned down alike, it is named by what was gripped.
    expect(told({ ...unit, capo: 2 })).toMatchObject({ heard: 'Bb3' });
    const down = unwrap(readTuning('half step down'));
    expect(told({ ...unit, tuning: down })).toMatchObject({ heard: 'C#4' });
  });
});

describe('the drill', () => {
  const chart = demoCharts().find((c) => c.id === 'demo-copper-staircase')!;
  const verse = unwrap(resolveUnit(chart, { kind: 'section', section: 'Verse' }));
  const weak = (bar: number, from: string, to: string) =>
    ({ bar, change: bar, from, to, heard: 5, broke: 4, how: 'late' }) as const;

  it('of a change within a section is its pair', () => {
    expect(drillUnit(chart, verse, weak(2, 'Bm', 'F#m'))?.ref).toEqual({
      kind: 'pair',
      from: 'Bm',
      to: 'F#m',
    });
  });

  it('of a change into a section is the join before it', () => {
    const form = unwrap(resolveUnit(chart, { kind: 'form' }));
    const at = form.bars.findIndex((b, i) => i > 0 && b.section !== form.bars[i - 1]!.section);
    const join = drillUnit(chart, form, weak(at, 'A', 'D'))!;
    expect(join.ref.kind).toBe('join');
    expect(new Set(join.bars.map((b) => b.section)).size).toBe(2);
  });

  it('is none where the unit is the pair already', () => {
    const pair = unwrap(resolveUnit(chart, { kind: 'pair', from: 'Bm', to: 'F#m' }));
    expect(drillUnit(chart, pair, weak(0, 'Bm', 'F#m'))).toBeUndefined();
  });

  it.each([20, 27, 60, 133, 400])(
    'climbs up to the %i bpm at which it broke, by a valid ladder',
    (bpm) => {
      const rules = drillRules(suggestRules(verse), bpm);
      expect(unwrap(rungs(rules)).at(-1)).toBe(bpm);
    },
  );
});
