// Setting a song in one go: the order it is learnt in, the dates, and what is refused.
import { describe, expect, it } from 'vitest';
import { demoNamed } from '../../support/demo.ts';
import { assign } from '../../../app/core/progress/assignment.ts';
import {
  checkDue,
  groupsOf,
  hasSet,
  lessonDays,
  rulesAt,
  stepsOf,
} from '../../../app/core/progress/setting.ts';
import { TEMPLATES } from '../../../app/core/progress/template.ts';
import { checkRules } from '../../../app/core/ladder/rungs.ts';
import { emptyDesk } from '../exchange/desk/example.ts';

const chart = demoNamed('low-tide-lanterns');
const four = TEMPLATES[0];

describe('the order in which a song is learnt', () => {
  const steps = stepsOf(chart, four);
  it('begins with the hardest changes, then sections, joins and the form', () => {
    const kinds = steps.map(({ unit }) => unit.ref.kind);
    expect([...new Set(kinds)]).toEqual(['hardest', 'section', 'join', 'form']);
    expect(kinds.filter((kind) => kind === 'form')).toHaveLength(1);
  });
  it('ranks the hardest changes across sections, and leaves out a set that brings nothing new', () => {
    const hardest = steps.filter(({ kind }) => kind === 'hardest');
    // The bridge stands fourth in the song; the outro has no change that comes nowhere else.
    expect(hardest.map(({ unit, reason }) => [unit.name, reason])).toEqual([
      [
        'Hardest changes of Bridge',
        'The hardest changes come first, on their own. A to Bm leaves the hand least time.',
      ],
      ['Hardest changes of Chorus', 'Next hardest: D/F♯ to Bm.'],
      ['Hardest changes of Verse', 'Next hardest: G to Bm.'],
      ['Hardest changes of Intro', 'Next hardest: G to A.'],
    ]);
  });
  it('says why, and never goes back to an earlier week or a slower share', () => {
    for (const { reason } of steps) expect(reason).toMatch(/\.$/);
    for (const template of TEMPLATES) {
      const all = stepsOf(chart, template);
      expect(all.map(({ week }) => week)).toEqual(all.map(({ week }) => week).toSorted());
      expect(all.at(-1)!.percent).toBe(100);
    }
  });
  it('gives every step a ladder that can be climbed', () => {
    for (const { unit, percent } of steps) expect(checkRules(rulesAt(unit, percent))).toEqual([]);
  });
});

describe('lesson days', () => {
  // 2031-04-09 is a Wednesday (ISO 8601 weekday 3), computable from 1970-01-01, a Thursday.
  it.each([
    [3, ['2031-04-16', '2031-04-23']],
    [4, ['2031-04-10', '2031-04-17']],
    [1, ['2031-04-14', '2031-04-21']],
    [7, ['2031-04-13', '2031-04-20']],
  ])('on weekday %i', (weekday, days) => {
    expect(lessonDays('2031-04-09', weekday, 2)).toEqual(days);
  });
});

describe('a date', () => {
  it.each([
    ['2031-04-08', 'due-past'],
    ['2031-04-09', undefined],
    ['', undefined],
    [undefined, undefined],
  ])('%s on 2031-04-09: %s', (due, code) => {
    expect(checkDue(due, '2031-04-09')?.code).toBe(code);
  });
});

it('knows what is set already, and the groups there are', () => {
  const [step] = stepsOf(chart, four);
  const at = '2031-04-01T10:00:00Z';
  const assignments = assign(chart, [step!.unit], { at, by: 'T', newId: () => 'a' });
  const ada = { ...emptyDesk, assignments, group: 'Tuesday' };
  expect(hasSet(ada, chart.id, step!.unit.key)).toBe(true);
  expect(hasSet(emptyDesk, chart.id, step!.unit.key)).toBe(false);
  expect(groupsOf([ada, emptyDesk, { ...ada, group: 'Evening' }])).toEqual(['Evening', 'Tuesday']);
});
