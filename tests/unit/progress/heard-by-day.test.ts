// What was heard of changes, counted by day, says the same as all the passes themselves.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dateOfDay, dayNumber, passesSince } from '../../../app/core/log/days.ts';
import type { ChangeHeard, PassRecord } from '../../../app/core/model/pass.ts';
import type { BreakPlace } from '../../../app/core/model/unit.ts';
import { breakingChanges } from '../../../app/core/progress/changes.ts';
import { breaksMost, heardByDay, heardFrom } from '../../../app/core/progress/heard-by-day.ts';
import { pass } from '../log/passes.ts';

const CHORDS = ['C', 'G', 'F', 'Am'] as const;
const place = fc.tuple(fc.nat(3), fc.nat(3), fc.nat(3)).map(([change, from, to]): BreakPlace => ({
  ...{ bar: 0, change, from: CHORDS[from]!, to: CHORDS[to]! },
}));
const heard = fc
  .tuple(
    place,
    fc.constantFrom<ChangeHeard['timing']>('on-time', 'early', 'late', 'silent', 'unsure'),
    fc.constantFrom<ChangeHeard['chord']>('right', 'other', 'held', 'unsure'),
  )
  .map(([{ bar, change, from, to }, timing, chord]): ChangeHeard => ({
    ...{ bar, change, from: from, to: to!, timing, chord, confidence: 0.9 },
  }));
/** Bars of one fingerprint have one chord at each place. */
const samePlace = (broke: BreakPlace, print: string): BreakPlace => ({
  ...broke,
  from: CHORDS[broke.change]!,
  to: CHORDS[(broke.change + print.length) % 4]!,
});
const passes = fc
  .array(
    fc.record({
      day: fc.nat(30),
      print: fc.constantFrom('a', 'bb'),
      verdict: fc.constantFrom<PassRecord['verdict']>('clean', 'missed', 'unjudged'),
      changes: fc.option(fc.array(heard, { maxLength: 6 }), { nil: undefined }),
      played: fc.option(fc.array(fc.nat(3), { maxLength: 2 }), { nil: undefined }),
      broke: fc.option(place, { nil: undefined }),
      underrun: fc.boolean(),
    }),
    { maxLength: 60 },
  )
  .map((all) =>
    all
      .toSorted((a, b) => a.day - b.day)
      .map(({ day, print, broke, changes, played, underrun, verdict }) =>
        pass(`${dateOfDay(FIRST + day)}T10:00:00Z`, {
          verdict,
          unit: { key: 'section:Verse', name: 'Verse', fingerprint: print },
          ...(underrun ? { underrun } : {}),
          ...(changes ? { changes } : {}),
          ...(played ? { played } : {}),
          ...(broke ? { broke: { ...samePlace(broke, print), by: 'self' as const } } : {}),
        }),
      ),
  );
const FIRST = dayNumber('2031-04-01');
const LAST = dateOfDay(FIRST + 30);

describe('what was heard by day', () => {
  it('puts the same change first as all passes do, and as surely', () => {
    let found = 0;
    fc.assert(
      fc.property(passes, (all) => {
        const told = breaksMost(heardByDay(all, LAST));
        const [first] = breakingChanges(passesSince(all, heardFrom(LAST)));
        const brief = first && {
          ...{ from: first.from, to: first.to, broke: first.broke, atLeast: first.atLeast },
        };
        expect(told).toEqual(brief);
        if (first && first.broke > 1) found++;
      }),
      { numRuns: 300 },
    );
    expect(found).toBeGreaterThan(50);
  });

  it('holds every day on which something was played, also where nothing was heard', () => {
    const all = [16, 17, 30].map((day) => pass(`${dateOfDay(FIRST + day)}T10:00:00Z`, {}));
    expect(heardByDay(all, LAST).map(({ date }) => date)).toEqual(['2031-04-18', '2031-05-01']);
  });
});
