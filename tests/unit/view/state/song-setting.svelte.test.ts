// A song being set for several: lines changed by hand, everybody's own lesson day, notes.
import { describe, expect, it } from 'vitest';
import type { Student } from '../../../../app/core/progress/assignment.ts';
import { TEMPLATES } from '../../../../app/core/progress/template.ts';
import { OWN_DAY, SongSetting } from '../../../../renderer/state/desk/song-setting.svelte.ts';
import { chart, emptyDesk, newId } from '../../exchange/desk/example.ts';

// A Wednesday.
const TODAY = '2031-04-09';
const GIVING = { at: '2031-04-09T10:00:00Z', by: 'Ms Tern', newId };
const student = (id: string, lessonDay?: number): Student => ({
  ...emptyDesk,
  id,
  ...(lessonDay === undefined ? {} : { lessonDay }),
});
function begun(): SongSetting {
  const setting = new SongSetting(TODAY);
  setting.takeChart(chart);
  return setting;
}
const given = (setting: SongSetting, to = student('ada')) => setting.makeFor(to, GIVING);

describe('a song being set', () => {
  it('is due by the template, on the day of the lesson', () => {
    const setting = begun();
    setting.day = 4;
    expect(setting.steps[0]).toMatchObject({ kind: 'hardest', percent: 80, due: '2031-04-10' });
    expect(setting.steps.at(-1)).toMatchObject({ kind: 'form', percent: 100, due: '2031-05-01' });
    expect(given(setting)).toHaveLength(setting.steps.length);
  });
  it('takes each student’s own day; Monday where none is written', () => {
    const setting = begun();
    setting.day = OWN_DAY;
    const due = (to: Student) => given(setting, to)[0]!.terms.due;
    expect([due(student('ada', 4)), due(student('ben', 2)), due(student('cleo'))]).toEqual([
      '2031-04-10',
      '2031-04-15',
      '2031-04-14',
    ]);
    setting.setWeek(setting.steps[0]!.unit.key, 3);
    expect(due(student('ada', 4))).toBe('2031-04-24');
  });
  it('is changed line by line: share of the tempo, date, note, left out', () => {
    const setting = begun();
    const [one, two] = setting.steps;
    setting.setPercent(one!.unit.key, 50);
    setting.setDue(one!.unit.key, '');
    setting.setNote(one!.unit.key, 'Thumb behind the neck.');
    setting.note = 'Slowly.';
    setting.tick(two!.unit.key, false);
    const [first, second] = given(setting);
    expect(first!.terms).toMatchObject({
      rules: { target: Math.round(one!.unit.tempo.bpm / 2) },
      note: 'Thumb behind the neck.\nSlowly.',
    });
    expect(first!.terms.due).toBeUndefined();
    expect(second!.unit.key).toBe(setting.steps[2]!.unit.key);
    setting.takeTemplate(TEMPLATES.at(-1)!);
    expect(setting.steps[0]).toMatchObject({ percent: 100, note: 'Thumb behind the neck.' });
  });
  it('refuses a date that has passed, unless its line is left out', () => {
    const setting = begun();
    const { key } = setting.steps[0]!.unit;
    setting.setDue(key, '2031-04-08');
    expect(setting.problem?.code).toBe('due-past');
    setting.tick(key, false);
    expect(setting.problem).toBeUndefined();
  });
  it('leaves what a student has already', () => {
    const setting = begun();
    const ada = { ...student('ada'), assignments: given(setting) };
    expect(setting.has(ada)).toBe(true);
    expect(given(setting, ada)).toEqual([]);
  });
});
