// The song as lines: chords over the syllable sung under them, lines that fit, and where the playhead stands.
import { describe, expect, it } from 'vitest';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import { resolveUnit } from '../../../../app/core/units/resolve.ts';
import {
  lineAt,
  quartersInto,
  shownWords,
  songLines,
  tokenAt,
} from '../../../../renderer/parts/words/song-lines.ts';

const unitOf = (bars: string, meter = '4/4') => {
  const text = `title: T\ntempo: 90\nmeter: ${meter}\n\n${bars}\n`;
  return unwrap(resolveUnit({ ...unwrap(parseChart(text)), id: 'x' }, { kind: 'form' }));
};
const told = (bars: string) =>
  songLines(unitOf(bars).bars).map((line) =>
    line.tokens
      .map((t) => `${t.chord ? `[${t.chord}]` : ''}${t.text}${t.joined ? '-' : ''}`)
      .join(' '),
  );

describe('the song as lines', () => {
  it('writes each chord over the syllable that is sung under it', () => {
    expect(told('[Verse]\n| G | C |\nwords: slow-ly o-ver | wa-ter')).toEqual([
      '[G]slow- ly o- ver [C]wa- ter',
    ]);
  });

  it('gives a chord without words a place of its own, in order of time', () => {
    expect(told('[Verse]\n| G / C / | D |\nwords: | hold | on')).toEqual(['[G]hold [C] [D]on']);
  });

  it('is sung without its chords; a word that goes on in the next line keeps its hyphen', () => {
    const words = 'words: slow-ly o-ver | the | wa-ter | and a- | way | home';
    const lines = songLines(unitOf(`[Verse]\n| G | C | G | D | G | C |\n${words}`).bars);
    expect(lines.map((line) => shownWords(line).map(({ text }) => text))).toEqual([
      ['slow', 'ly ', 'o', 'ver ', 'the ', 'wa', 'ter ', 'and ', 'a-'],
      ['way ', 'home '],
    ]);
    expect(shownWords(undefined)).toEqual([]);
  });

  it('breaks after four bars, and with a new section', () => {
    const lines = told('[A]\n| G | C | G | D | Em |\n\n[B]\n| C |\n\nform:\nA\nB');
    expect(lines).toEqual(['[G] [C] [G] [D]', '[Em]', '[C]']);
  });

  it('breaks sooner where the words are long', () => {
    const words = 'words: | the ferry lights along the quay | are burning for the early day |';
    expect(told(`[A]\n| G | C |\n${words}`)).toHaveLength(2);
  });

  it('halves four bars that are too long, so that no last word stands alone', () => {
    const words = 'words: | Boots by the | door and a | cup on the | sill';
    const lines = songLines(unitOf(`[A]\n| G | D | Em | C |\n${words}`).bars);
    expect(lines.map(({ from, to }) => [from, to])).toEqual([
      [0, 1],
      [2, 3],
    ]);
  });

  it('finds line and syllable of a moment', () => {
    const { bars } = unitOf('[Verse]\n| G | C |\nwords: one two | three');
    const [line] = songLines(bars);
    expect(lineAt(songLines(bars), 1)).toBe(0);
    const at = (bar: number, beat: number, beatShare: number) =>
      line!.tokens[tokenAt(line!, bar, quartersInto(bars[bar]!, { beat, beatShare }))]?.text;
    expect([at(0, 1, 0), at(0, 2, 0.9), at(0, 3, 0), at(1, 1, 0)]).toEqual([
      'one',
      'one',
      'two',
      'three',
    ]);
  });

  it('counts quarters by the meter: beat two of 6/8 begins after one and a half', () => {
    const { bars } = unitOf('[A]\n| G |', '6/8');
    expect(quartersInto(bars[0]!, { beat: 2, beatShare: 0 })).toBe(1.5);
  });
});
