// What is pasted: which texts are sheets, which are ours, and what each becomes.
import { describe, expect, test } from 'vitest';
import { readPaper } from '../../../../renderer/state/files/read-paper.ts';
import {
  guessedBars,
  withoutMark,
} from '../../../../renderer/screens/charts/write/guessed-bars.ts';
import { pastedSheet, takeIn } from '../../../../renderer/screens/charts/write/take-in.ts';
import { readTypedChart } from '../../../../app/core/chart/notation/parse.ts';

const SHEET = 'G          D\nDown by the harbour\nEm     C\nlights a-burning';

describe('a file', () => {
  test('a sheet becomes a draft, called after its file', () => {
    const paper = readPaper(`[Verse]\n${SHEET}`, 'Low Tide.txt');
    expect(paper).toMatchObject({ kind: 'draft', chart: { title: 'Low Tide' } });
  });
  test('a chart of ours is one; with mistakes it is refused, not taken for a sheet', () => {
    const chart = 'title: T\ntempo: 90\n\n[A]\n| G |\n\nform:\nA\n';
    expect(readPaper(chart, 'x').kind).toBe('chart');
    expect(readPaper(chart.replace('A\n', 'B\n'), 'x').kind).toBe('refused');
  });
  test.each(['', 'nothing here but words', '{"a": [', '[[[['])('%j is refused', (text) => {
    expect(readPaper(text, 'x').kind).toBe('refused');
  });
});

describe('straight into the editor', () => {
  test('a sheet becomes bars with words under the section it is pasted into', () => {
    expect(pastedSheet(SHEET, 'title: T\ntempo: 90\n[Verse]\n')).toBe(
      '# bars guessed\n| G | D |\nwords: | Down by the | harbour |\n# bars guessed\n| Em | C |\nwords: | lights | a-burning |\n',
    );
  });
  test('with headings it brings sections of its own, under free names', () => {
    const typed = pastedSheet(`[Verse]\n${SHEET}`, 'title: T\n[Verse]\n| G |\n');
    expect(typed?.split('\n')[0]).toBe('[Verse 2]');
  });
  test('German names stay German in a new chart and become those of the chart they come into', () => {
    const sheet = '[Strophe]\nHm        G\nUnten am Wasser\nFis7     B\nleuchten die Lampen';
    expect(pastedSheet(sheet, '')).toMatch(/names: german[^]*\| Hm \| G \|[^]*\| Fis7 \| B \|/u);
    expect(pastedSheet(sheet, 'title: T\n[A]\n| G |\n')).toMatch(
      /\| Bm \| G \|[^]*\| F#7 \| Bb \|/u,
    );
    expect(
      pastedSheet(SHEET.replace('G ', 'Bm'), 'title: T\nnames: german\n[A]\n| G |\n'),
    ).toContain('| Hm | D |');
  });
  test('into nothing it is a whole chart', () => {
    expect(pastedSheet(SHEET, '')).toMatch(/^title: New chart\ntempo:/);
  });
  test.each([
    '| G | D |\n| Em | C |',
    'words: | a | b |\nwords 2: | c | d |',
    '[Verse]\n| G |\nstrum: eighths D-',
    'G D Em',
    'only words\nand more of them',
  ])('%j is left as it is', (text) => expect(pastedSheet(text, '[A]\n')).toBeUndefined());
});

describe('a chart of ours with mistakes', () => {
  const around = { readScore: () => Promise.resolve(undefined), taken: [], usual: {} };
  const slips =
    'title: Slips\ntempo: 96\n\n[Verse]\n| 320003 | D |\nwords: | Down by | the sea |\n\n[Chorus]\n|: C |1. G :|3. G |\n\nform: Verse Chorus\n';
  test('is taken to the letter, not read as a sheet', async () => {
    expect(await takeIn(slips, around)).toEqual({
      ok: true,
      value: {
        text: slips,
        sections: [
          '[Verse]\n| 320003 | D |\nwords: | Down by | the sea |',
          '[Chorus]\n|: C |1. G :|3. G |',
        ],
        form: ['Verse Chorus'],
        notes: [expect.stringMatching(/taken as it is typed; 3 mistakes stand/u)],
      },
    });
  });
  test('a sheet that names title and tempo is still a sheet', async () => {
    const sheet = `title: Low Tide\ntempo: 96\n\n[Verse]\n${SHEET}\n| G | C |\n`;
    const taken = await takeIn(sheet, around);
    expect(taken.ok && taken.value.text).toMatch(/# bars guessed/u);
  });
});

describe('the paste field', () => {
  const around = { readScore: () => Promise.resolve(undefined), taken: ['Verse'], usual: {} };
  test('words without a chord are refused with a cure', async () => {
    expect(await takeIn('only words', around)).toMatchObject({
      ok: false,
      problems: [{ code: 'sheet-empty' }],
    });
  });
  test('a score is read, without the encoding it names', async () => {
    const seen: string[] = [];
    const readScore = (bytes: Uint8Array) => {
      seen.push(new TextDecoder().decode(bytes));
      return Promise.resolve(undefined);
    };
    const score = '<?xml version="1.0" encoding="UTF-16"?>\n<score-partwise/>';
    expect((await takeIn(score, { ...around, readScore })).ok).toBe(false);
    expect(seen).toEqual(['\n<score-partwise/>']);
  });
});

test('guessed bars are those on a line under the mark, and one mark is taken away at a time', () => {
  const text = 'title: T\ntempo: 90\n[A]\n# bars guessed\n| G | D |\nwords: | a | b |\n| C |\n';
  const { places } = readTypedChart(text);
  expect(guessedBars(text, places).map((bars) => [...bars])).toEqual([[0, 1]]);
  expect(withoutMark(text, 5)).toBe(text.replace('# bars guessed\n', ''));
  expect(withoutMark(text, 7)).toBe(text);
});
