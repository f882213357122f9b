// What the top of a ladder says of the change that broke on the way, and what a drill's sentence promises.
import { expect, it } from 'vitest';
import type { ClimbPass, ClimbState } from '../../../../app/core/ladder/model.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import { listUnits, resolveUnit } from '../../../../app/core/units/resolve.ts';
import { demoNamed } from '../../../support/demo.ts';
import type { BreakPlace } from '../../../../app/core/model/unit.ts';
import { answerWords } from '../../../../renderer/state/climb/answer-words.ts';
import { brokeOnTheWay, goalAhead } from '../../../../renderer/state/stage/won.ts';

const place = (change: number, from: string, to: string): BreakPlace => ({
  ...{ bar: change, change, from, to },
});
const first = place(1, 'G', 'D');
const second = place(2, 'D', 'Em');

/** c clean, m missed, - nobody judged; marks by the number of the pass. */
const climb = (verdicts: string, marks: readonly (readonly [number, BreakPlace])[]): ClimbState => {
  const passes = [...verdicts].map((sign, i) => ({
    number: i + 1,
    verdict: sign === 'c' ? 'clean' : sign === 'm' ? 'missed' : 'unjudged',
    source: sign === '-' ? null : 'self',
  }));
  return {
    passes: passes as unknown as readonly ClimbPass[],
    partner: { marks: marks.map(([pass, where]) => ({ pass, place: where })) },
    rungs: [60, 70, 80],
    footholds: { lower: { rung: 2 } },
  } as unknown as ClimbState;
};

it('counts the passes since in which the change that broke last held', () => {
  expect(brokeOnTheWay(climb('mcccc', [[1, first]]))).toEqual({ place: first, since: 4, held: 4 });
  // A miss somewhere else is no miss of this change; one that nobody placed may be.
  const two = climb('mcmcm-', [
    [3, first],
    [1, second],
  ]);
  expect(brokeOnTheWay(two)).toEqual({ place: second, since: 4, held: 3 });
  expect(brokeOnTheWay(climb('cm', []))).toBeUndefined();
});

it('leads through a chart: the join, the next section, at last the song; what was played is passed over', async () => {
  const chart = demoNamed('rain-on-the-kettle');
  const [verse] = listUnits(chart, 'section');
  const ahead = async (...played: readonly string[]) =>
    (await goalAhead(chart, verse!, async ({ name }) => played.includes(name)))?.name;
  const join = 'Verse (2nd time) into Chorus (1st time)';
  expect(await ahead()).toBe(join);
  expect(await ahead(join)).toBe('Chorus');
  expect(await goalAhead(chart, verse!, async () => true)).toBeUndefined();
  // A few bars, or two chords, lead to the section that holds them.
  const bars = unwrap(resolveUnit(chart, { kind: 'bars', section: 'Chorus', from: 2, to: 3 }));
  expect((await goalAhead(chart, bars, async () => false))?.name).toBe('Chorus');
});

it('says to which tempo a drill leads back: a rung lower, or the lowest again', () => {
  const drill = { kind: 'drill', place: second, bpm: 60, seconds: 45 } as const;
  const words = (rung: number) =>
    answerWords(
      drill,
      { ...climb('m', []), footholds: { lower: { rung } } } as unknown as ClimbState,
      'Verse',
    );
  expect(words(2)).toBe('D → Em and back, at 60, for 45 seconds. Then Verse at 70.');
  expect(words(0)).toContain('Then Verse at 60.');
});
