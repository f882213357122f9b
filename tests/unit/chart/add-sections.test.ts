// Sections that come into a chart from elsewhere: where they stand, and under which names.
import { expect, test } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { addSections, partsOfChart } from '../../../app/core/chart/notation/add-sections.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';

const HEAD = 'title: T\ntempo: 90\n';
const names = (text: string) => {
  const { sections, form } = unwrap(parseChart(text));
  return [sections.map(({ name }) => name), form.map(({ section }) => section)];
};

test('behind the last section, their order at the end of the form; comments above the form stay with it', () => {
  const text = `${HEAD}\n[A]\n| G |\n\n# the order\nform:\nA x2\n`;
  const added = addSections(text, { sections: ['[B]\n| D |'], form: ['B', 'A'] });
  expect(added).toBe(`${HEAD}\n[A]\n| G |\n\n[B]\n| D |\n\n# the order\nform:\nA x2\nB\nA\n`);
  expect(names(added)).toEqual([
    ['A', 'B'],
    ['A', 'B', 'A'],
  ]);
});

test('a chart without a form stays without one', () => {
  const added = addSections(`${HEAD}\n[A]\n| G |`, { sections: ['[B]\n| D |'], form: ['B'] });
  expect(added).toBe(`${HEAD}\n[A]\n| G |\n\n[B]\n| D |\n`);
});

test('a chart comes under free names, and what borrows follows', () => {
  const chart = unwrap(
    parseChart(`${HEAD}\n[Verse]\n| G |\n\n[Verse 2]\nlike: Verse\n\nform:\nVerse 2, Verse x2\n`),
  );
  const parts = partsOfChart(chart, ['verse', 'Bridge']);
  expect(parts.sections.map((block) => block.split('\n').slice(0, 2))).toEqual([
    ['[Verse 2]', '| G |'],
    ['[Verse 3]', 'like: Verse 2'],
  ]);
  expect(parts.form).toEqual(['Verse 3', 'Verse 2 x2']);
});
