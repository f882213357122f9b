// The page before a lesson: now against then, where it breaks, what could come next, and what agreeing does.
import { describe, expect, it } from 'vitest';
import { partBySet } from '../../../app/core/progress/as-set.ts';
import { assign, type Student } from '../../../app/core/progress/assignment.ts';
import { needsOf, type Placed } from '../../../app/core/progress/help.ts';
import { lessonFactsOf } from '../../../app/core/progress/lesson-facts.ts';
import {
  answer,
  agree,
  disagree,
  lastLesson,
  type LessonPage,
  lessonPage,
  type NextStep,
  sayNext,
  sayPlace,
} from '../../../app/core/progress/lesson.ts';
import { standingOf } from '../../../app/core/progress/standing.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { chart, emptyDesk, played, units } from '../exchange/desk/example.ts';

const TODAY = '2031-04-10';
const section = units.find(({ ref }) => ref.kind === 'section' && ref.section === 'Verse')!;
const at = units.indexOf(section);
const [assignment] = assign(chart, [section], {
  at: '2031-04-01T10:00:00+02:00',
  by: 'Ms Tern',
  due: '2031-04-05',
  newId: () => 'a1',
});
/** Some passes a day at one tempo; every third one breaks at the change D to Bm, as the student says. */
const days = (from: number, to: number, bpm: number): PassRecord[] =>
  Array.from({ length: to - from + 1 }, (_, d) =>
    Array.from({ length: 9 }, (_, i) => {
      const missed = i % 3 === 2;
      const day = String(from + d).padStart(2, '0');
      return played(`2031-04-${day}T18:0${i}:00+02:00`, at, {
        rung: { bpm, beat: section.tempo.beat, index: 0, of: 5, target: section.tempo.bpm },
        verdict: missed ? 'missed' : 'clean',
        ...(missed ? { broke: { bar: 1, change: 0, from: 'D', to: 'Bm', by: 'self' } } : {}),
      });
    }),
  ).flat();

const allClean = ({ broke: _, ...pass }: PassRecord): PassRecord => ({ ...pass, verdict: 'clean' });

function pageOf(student: Student, passes: readonly PassRecord[]): LessonPage {
  const placed = student.assignments.map((one): Placed => {
    const { counted, other, accepted } = partBySet(one, passes);
    const { rules, due } = one.terms;
    const { beat, target } = rules;
    const standing = standingOf({
      ...{ passes: counted, beat, target, asOf: TODAY },
      ...(due === undefined ? {} : { due }),
    });
    return { assignment: one, standing, other, accepted };
  });
  expect(needsOf(placed, TODAY).length).toBeLessThanOrEqual(placed.length);
  const facts = lessonFactsOf(passes, student.assignments, lastLesson(student, TODAY));
  return lessonPage({ student, placed, facts, charts: [chart], today: TODAY });
}

const ada: Student = {
  ...emptyDesk,
  id: 'ada',
  name: 'Ada',
  assignments: [assignment!],
  comments: [
    { id: 'q', at: '2031-04-08T10:00:00Z', by: 'Ada', text: 'Which finger first?', question: true },
    { id: 'c', at: '2031-04-08T11:00:00Z', by: 'Ms Tern', text: 'Good.' },
  ],
};
const passes = [...days(1, 4, 40), ...days(7, 9, 46)];

describe('a question', () => {
  const asked = ada.comments.find(({ question }) => question)!;
  const how = { by: 'Ms Tern', now: '2031-04-20T10:00:00Z', newId: () => 'answer-1' };

  it('stays open past a lesson, until it is answered', () => {
    const lessons = [{ id: 'l', on: '2031-04-09', text: '', agreed: [] }];
    const later = { ...ada, lessons };
    expect(pageOf(later, passes).questions).toEqual([asked]);
    expect(pageOf(answer(later, asked, { ...how, text: '' }), passes).questions).toEqual([]);
  });
  it('goes back to the student with its answer, where there is one in words', () => {
    const talked = answer(ada, asked, { ...how, text: ' ' });
    expect(talked.comments).toEqual(ada.comments);
    const written = answer(ada, asked, { ...how, text: 'The second.' });
    expect(written.comments.at(-1)).toEqual({
      id: 'answer-1',
      at: how.now,
      by: 'Ms Tern',
      text: '‘Which finger first?’ The second.',
    });
  });
});

describe('the page before a lesson', () => {
  it('looks back to the last lesson, or to when the oldest thing was set', () => {
    expect(pageOf(ada, passes).since).toBe('2031-04-01');
    const lessons = [{ id: 'l', on: '2031-04-05', text: '', agreed: [] }];
    const page = pageOf({ ...ada, lessons }, passes);
    expect(page.since).toBe('2031-04-05');
    expect(page.lines[0]).toMatchObject({ passes: 27 });
    expect(page.lines[0]!.shareClean).toBeCloseTo(2 / 3);
    expect(page.days.map(({ date }) => date)).toEqual(['2031-04-07', '2031-04-08', '2031-04-09']);
    expect(page.questions.map(({ text }) => text)).toEqual(['Which finger first?']);
  });

  it('names where it breaks, how often and who says so', () => {
    const [place] = pageOf(ada, passes).places;
    expect(place).toMatchObject({ from: 'D', to: 'Bm', broke: 21, said: 21 });
    expect(sayPlace(place!)).toBe('21 times of 63: 21 by the student');
  });

  it('offers the change alone and a new date, and sets what is agreed', () => {
    const { next } = pageOf(ada, passes);
    expect(next.map(({ kind }) => kind)).toEqual(['drill', 'new-date']);
    expect(next.map((step) => sayNext(step))).toEqual([
      'Drill D to Bm: it broke 21 times of 63.',
      'Give Verse a new date: 2031-04-24.',
    ]);
    const how = { charts: [chart], by: 'T', now: `${TODAY}T10:00:00Z`, due: '2031-04-17' };
    const after = next.reduce(
      (student: Student, step: NextStep, i) =>
        agree(student, step, { ...how, newId: () => `n${i}` }) ?? student,
      ada,
    );
    expect(after.assignments.map(({ unit, terms }) => [unit.ref.kind, terms.due])).toEqual([
      ['section', '2031-04-24'],
      ['pair', '2031-04-17'],
    ]);
    expect(after.assignments[0]!.earlier).toHaveLength(1);
    // What is set already is not offered again.
    expect(pageOf(after, passes).next).toEqual([]);
  });

  it('raises a target that is there, and goes on where the chart asks for no more', () => {
    const rules = { ...assignment!.terms.rules, target: 30, start: 24 };
    const low = { ...assignment!, terms: { ...assignment!.terms, rules } };
    const clean = days(1, 9, 40).map(allClean);
    const [raise] = pageOf({ ...ada, assignments: [low] }, clean).next;
    expect(raise).toMatchObject({ kind: 'raise', target: 33 });
    const full = { ...rules, target: section.tempo.bpm };
    const high = { ...low, terms: { ...low.terms, rules: full } };
    const fast = days(1, 9, 60).map(allClean);
    const [on] = pageOf({ ...ada, assignments: [high] }, fast).next;
    expect(on).toMatchObject({ kind: 'go-on' });
  });

  it('has a plain page for a student with nothing set', () => {
    expect(pageOf({ ...emptyDesk, id: 'new' }, [])).toEqual({
      since: '2031-03-27',
      lines: [],
      places: [],
      days: [],
      questions: [],
      next: [],
    });
  });
});

describe('taking back what was agreed', () => {
  const student: Student = { ...emptyDesk, assignments: [assignment!] };
  const step = { kind: 'new-date', assignment: assignment!, due: '2031-04-24' } as const;
  const how = { charts: [chart], by: 'Ms Tern', now: '2031-04-10T10:00:00Z', due: '2031-04-17' };
  const [words, on] = ['Give Verse a new date.', TODAY];
  const agreedOn = (before: Student, one: NextStep) => {
    const after = agree(before, one, { ...how, newId: () => 'new' })!;
    const noted = [...(before.lessons ?? []), { id: 'l1', on, text: '', agreed: [words] }];
    return { before, after, words, on, now: { ...after, lessons: noted } };
  };

  it('puts the terms back, and takes the empty note of the day away', () => {
    const { now, ...undone } = agreedOn(student, step);
    expect(now.assignments[0]!.terms.due).toBe('2031-04-24');
    expect(disagree(now, undone)).toEqual({ ...student, lessons: [] });
  });

  it('takes out what was set, and keeps what came to be since', () => {
    const raised = { kind: 'go-on', after: assignment!, unit: units[at + 1]! } as const;
    const { now, ...undone } = agreedOn(student, raised);
    expect(now.assignments).toHaveLength(2);
    const since: Student = {
      ...now,
      assignments: [...now.assignments, { ...assignment!, id: 'since' }],
      answered: ['q1'],
      lessons: [{ id: 'l1', on, text: 'Light hands.', agreed: [words, 'More.'] }],
    };
    expect(disagree(since, undone)).toEqual({
      ...student,
      assignments: [assignment, { ...assignment!, id: 'since' }],
      answered: ['q1'],
      lessons: [{ id: 'l1', on, text: 'Light hands.', agreed: ['More.'] }],
    });
  });
});
