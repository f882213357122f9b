// What a section is in its song: by its name in several languages, or else by where the form brings it back.
import { describe, expect, test } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { sectionRoles } from '../../../app/core/chart/form/section-roles.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';

const chart = (sections: string, form: string) =>
  unwrap(
    parseChart(`title: T\ntempo: 90\n\n${sections}\n\nform:\n${form.split(' ').join('\n')}\n`),
  );
const plain = (...names: string[]) => names.map((name) => `[${name}]\n| C |`).join('\n\n');
const roles = (...asked: Parameters<typeof chart>) =>
  Object.fromEntries(sectionRoles(chart(...asked)));

describe('by name, common practice', () => {
  test.each([
    'Chorus',
    'Chorus 2',
    'Refrain',
    'Kehrvers',
    'Estribillo',
    'Coro',
    'Ritornello',
    'Refrão',
    'Hook',
    'last chorus',
  ])('%s is a chorus', (name) => {
    const { sections } = chart(plain(name, 'A'), 'A');
    expect(sectionRoles({ sections, form: [] }).get(name)).toBe('chorus');
  });
});

test('a pre-chorus is none, an intro leads in', () =>
  expect(roles(plain('Intro', 'Pre-Chorus', 'Prechorus', 'Verse'), 'Verse')).toEqual({
    Intro: 'edge',
  }));

test('without a name it is what answers another part that comes back, with the same words', () => {
  const parts = `${plain('Start')}\n\n[A]\n| C | F |\nwords: one | goes\nwords 2: two | go\n\n[B]\n| G | C |\nwords: and | sing\n\n${plain('End')}`;
  expect(roles(parts, 'Start A B A B End')).toEqual({ Start: 'edge', End: 'edge', B: 'chorus' });
});

test('a name says more than the form', () =>
  expect(roles(plain('A', 'Refrain'), 'Refrain A Refrain A')).toEqual({ Refrain: 'chorus' }));

test('one part alone is nothing', () => expect(roles(plain('A'), 'A')).toEqual({}));

test('the bars of a unit carry it, whichever unit', () => {
  const song = chart(plain('Verse', 'Chorus'), 'Verse Chorus');
  const unit = unwrap(resolveUnit(song, { kind: 'section', section: 'Chorus' }));
  expect(unit.bars.map(({ role }) => role)).toEqual(['chorus']);
});

test('a section that is like another takes over what the band plays there, and may say otherwise', () => {
  const text = `title: T\ntempo: 90\n\n[A]\ndrums: brushes\nband: soft\n| C |\n\n[B]\nlike: A\n\n[C]\nlike: A\nband: loud\n\nform:\nA\nB\nC\n`;
  const song = unwrap(parseChart(text));
  expect(song.sections.map(({ band }) => band)).toEqual([
    { drums: 'brushes', level: 'soft' },
    { drums: 'brushes', level: 'soft' },
    { drums: 'brushes', level: 'loud' },
  ]);
  expect(printChart(song).match(/drums: brushes/g)).toHaveLength(1);
  expect(unwrap(parseChart(printChart(song)))).toEqual(song);
});
