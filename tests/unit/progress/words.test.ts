// Plain words for figures.
import { describe, expect, it } from 'vitest';
import {
  sayForecast,
  sayGrounds,
  sayInterval,
  sayJudges,
  sayOutlook,
  sayReason,
  sayShare,
  sayTempo,
} from '../../../app/core/progress/words.ts';

const evidence = { passes: 20, judgedBy: { self: 20, ear: 0, pedal: 0, teacher: 0 } };
const date = (iso: string) => iso;

describe('sayTempo', () => {
  it.each([
    [{ kind: 'number', bpm: 82.4, low: 78, high: 86.2, evidence }, '82'],
    [{ kind: 'at-least', bpm: 79.999999999, evidence }, 'at least 80'],
    [{ kind: 'at-least', bpm: 79.9, evidence }, 'at least 79'],
    [{ kind: 'below', bpm: 60, evidence }, 'below 60'],
    [{ kind: 'not-enough', evidence }, 'not enough passes yet'],
  ] as const)('%#: %o', (owned, words) => expect(sayTempo(owned)).toBe(words));

  it('adds an interval to a number only', () => {
    expect(sayInterval({ kind: 'number', bpm: 82.4, low: 78, high: 86.2, evidence })).toBe(
      'between 78 and 86, nine times in ten',
    );
    expect(sayInterval({ kind: 'not-enough', evidence })).toBe('');
  });
});

it('says who judged', () => {
  expect(sayJudges({ self: 12, ear: 3, pedal: 0, teacher: 0 })).toBe(
    '12 judged by yourself, 3 by ear',
  );
  expect(sayJudges({ self: 12, ear: 0, pedal: 1, teacher: 0 }, 'by the student')).toBe(
    '12 judged by the student, 1 by pedal',
  );
  expect(sayJudges({ self: 0, ear: 0, pedal: 0, teacher: 0 })).toBe('no pass judged');
  expect(sayShare(undefined)).toBe('none judged');
  expect(sayShare(0.825)).toBe('83 % clean');
});

it('says what a figure rests on, and what would make it surer', () => {
  const owned = { kind: 'at-least', bpm: 95.4, evidence } as const;
  expect(sayGrounds(owned, { kind: 'climb', above: 95.4, passes: 4 })).toBe(
    'From 20 passes of the last days of practice, 20 judged by yourself; the first pass of a day is left out. It is at least 95, nineteen times in twenty. Four passes above 95 would make it surer: too little has broken lately to see where it ends.',
  );
});

describe('sayForecast', () => {
  const pace = { daysPerWeek: 4 };
  it('gives a date with its ends and promises nothing', () => {
    const answer = {
      kind: 'date',
      date: '2031-05-01',
      earliest: '2031-04-20',
      latest: '2031-05-20',
      pace,
    } as const;
    expect(sayForecast(answer, 120, date)).toBe(
      'Practised about 4 days a week, 120 may come between 2031-04-20 and 2031-05-20 (four times in five).',
    );
  });

  it('says what was gained and the next small goal where no date can be named', () => {
    const open = { kind: 'open', from: 70, to: 84, days: 14, next: 87 } as const;
    expect(sayForecast(open, 120, date)).toBe(
      'From about 70 to about 84 in 14 days of practice. The next small goal: 87. The log cannot name a day for 120 yet.',
    );
  });

  it('names one thing to try at a plateau', () => {
    const suggestion = { kind: 'drill-change', from: 'C', to: 'F' } as const;
    expect(sayForecast({ kind: 'plateau', level: 88.2, days: 8, suggestion }, 120, date)).toBe(
      'It has stood near 88 over the last 8 days of practice. Try the change C to F on its own: it breaks most.',
    );
  });
});

it('says a due date that cannot be met, with the figures', () => {
  const expected = { low: 88, middle: 96, high: 104 };
  expect(sayOutlook({ kind: 'out-of-reach', days: 9, expected }, 120)).toBe(
    'Due in 9 days. At this pace about 96 by then (88 to 104). The target is 120.',
  );
  expect(sayReason({ kind: 'cannot-meet', days: 9, target: 120, expected: 96, high: 104 })).toBe(
    'Due in 9 days, but at this pace it reaches about 96 (at best 104), not 120. A later date or a lower target would be fair.',
  );
});
