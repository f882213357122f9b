// A teacher's own ways to spread a song: kept, renamed, told apart by name.
import { describe, expect, it } from 'vitest';
import { studentSchema } from '../../../app/core/progress/desk-schema.ts';
import { checkName, TEMPLATES, withTemplate } from '../../../app/core/progress/template.ts';
import { emptyDesk } from '../exchange/desk/example.ts';

const mine = { ...TEMPLATES[0], id: 'mine', name: 'A riff in a week' };

describe('templates of one’s own', () => {
  it('are added, and replaced under their id', () => {
    const renamed = { ...mine, name: 'A riff in ten days' };
    expect(withTemplate([], mine)).toEqual([mine]);
    expect(withTemplate([mine], renamed)).toEqual([renamed]);
  });
  it.each([
    ['', 'Give it a name.'],
    [' a RIFF in a week ', 'Another one has this name.'],
    ['Something else', undefined],
  ])('named ‘%s’: %s', (name, expected) => {
    expect(checkName(name, 'new', [...TEMPLATES, mine])).toBe(expected);
  });
  it('may keep their own name', () => {
    expect(checkName(mine.name, mine.id, [mine])).toBeUndefined();
  });
  it('are stored with the desk, and refused out of range', () => {
    const desk = (week: number) => ({
      ...emptyDesk,
      templates: [{ ...mine, weeks: { ...mine.weeks, form: week } }],
    });
    expect(studentSchema.safeParse(desk(26)).success).toBe(true);
    expect(studentSchema.safeParse(desk(27)).success).toBe(false);
  });
});
