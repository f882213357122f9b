// Strums out to MusicXML as slash rhythm with bowing marks and back, with and without the words that go along.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demoCharts } from '../../../../app/services/machine/demo-charts.ts';
import { playForm } from '../../../../app/core/units/bars/played-bars.ts';
import type { ChartBody } from '../../../../app/core/model/chart.ts';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../../app/core/chart/notation/print.ts';
import { printStrum, strokesInBar } from '../../../../app/core/rhythm/strum.ts';
import type { PlayedBar } from '../../../../app/core/model/unit.ts';
import { readMusicXml } from '../../../../app/core/exchange/musicxml/read/read.ts';
import { writeMusicXml } from '../../../../app/core/exchange/musicxml/write/write.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import { runs } from '../../../support/runs.ts';
import { plainCharts as charts } from '../../chart/plain-charts.ts';

const typed = (text: string): ChartBody =>
  unwrap(parseChart(`title: Test\ntempo: 100\n[A]\n${text}`));
const fileOf = (chart: ChartBody): string => unwrap(writeMusicXml(chart));
const withoutWords = (file: string): string =>
  file.replace(/<direction [^>]*>\s*<direction-type>\s*<other-direction.*?<\/direction>/gs, '');
const read = (file: string) => unwrap(readMusicXml(file));

const FEATURES = [
  ['dot', '.'],
  ['actual-notes>3', '³'],
  ['notehead>x', 'x'],
  ['down-bow', 'D'],
  ['up-bow', 'U'],
  ['accent', '>'],
  ['tie type="start"', '~'],
  ['beam number="1">begin', '['],
  ['beam number="1">end', ']'],
] as const;

/** The notes of the first part as "quarter D" …: type (r for rests), then what stands on them. */
function signs(file: string): string[] {
  const part = file.split('</part>')[0]!;
  return (part.match(/<note>.*?<\/note>/gs) ?? []).map((note) => {
    const type = /<type>(\w+)/.exec(note)?.[1] ?? '?';
    const marks = FEATURES.flatMap(([has, sign]) => (note.includes(`<${has}`) ? [sign] : []));
    return `${note.includes('<rest') ? 'r ' : ''}${type}${marks.length > 0 ? ` ${marks.join('')}` : ''}`;
  });
}

describe('a strum as it is written', () => {
  test.each([
    [
      'strokes off the beat are tied over it',
      'strum: eighths D- DU -U DU\n| G |',
      ['quarter D', 'eighth D[', 'eighth U~]', 'eighth [', 'eighth U]', 'eighth D[', 'eighth U]'],
    ],
    [
      'accents, muted strokes and rests',
      'strum: eighths D>- Dx- r- Ux>-\n| G |',
      ['quarter D>', 'quarter xD', 'r quarter', 'quarter xU>'],
    ],
    ['long strokes', 'strum: eighths D- -- D- --\n| G |', ['half D', 'half D']],
    [
      'triplets',
      'strum: triplets D-U\n| 2/4 G |',
      ['quarter ³D', 'eighth ³U', 'quarter ³D', 'eighth ³U'],
    ],
    ['sixteenths', 'strum: sixteenths D-DU\n| 1/4 G |', ['eighth D[', '16th D', '16th U]']],
    [
      'dotted beats',
      'meter: 6/8\nstrum: eighths D-- D-U\n| G |',
      ['quarter .D', 'quarter D', 'eighth U'],
    ],
    [
      'what rings on across the bar line',
      'strum: eighths D-\n| 1/4 G | {eighths -U} D |',
      ['quarter D~', 'eighth [', 'eighth U]'],
    ],
    [
      'silence',
      'strum: eighths DU\n| 2/4 G / | N.C. G |',
      ['eighth D[', 'eighth U]', 'eighth D[', 'eighth U]', 'r quarter', 'eighth D[', 'eighth U]'],
    ],
    ['no strum', '| 2/4 G |', ['quarter', 'quarter']],
  ])('%s', (_, text, expected) => {
    expect(signs(fileOf(typed(text)))).toEqual(expected);
  });

  test('beats are slashes without stems; a strum shows its own heads', () => {
    const file = fileOf(typed('| G |\n[B]\nstrum: eighths DU\n| G |\nform: A, B, A'));
    expect(file.match(/<slash [^>]*>/g)).toEqual([
      '<slash type="start" use-stems="no"/>',
      '<slash type="stop" use-stems="no"/>',
      '<slash type="start" use-stems="no"/>',
    ]);
  });
});

describe('a strum as it is read', () => {
  const strumsOf = (file: string): string[] =>
    read(file).chart.sections.flatMap(({ strum, bars }) => [
      strum ? printStrum(strum) : 'none',
      ...bars.flatMap((bar) => (bar.strum ? [printStrum(bar.strum)] : [])),
    ]);

  test('in the words that go along, to the letter', () => {
    const file = fileOf(typed('strum: sixteenths D--- D---\n| G | D |'));
    expect(strumsOf(file)).toEqual(['sixteenths D--- D---']);
  });

  test.each([
    ['the shortest pattern', 'strum: sixteenths D--- D---\n| G | D |', ['eighths D-']],
    ['of two quarters', 'strum: eighths D- DU\n| G | D |', ['eighths D- DU']],
    ['triplets', 'strum: triplets D-U DDU\n| G |', ['triplets D-U DDU']],
    ['with rests, accents and muted strokes', 'strum: eighths D>- rUx\n| G |', ['eighths D>- rUx']],
    [
      'the same in its pickup',
      'strum: eighths D- DU -U DU\n| pickup 1/4 D | G | C |',
      ['eighths D- DU -U DU'],
    ],
    [
      'a bar of its own',
      'strum: eighths D- DU\n| G | {eighths D- -- D- --} C | D |',
      ['eighths D- DU', 'eighths D- --'],
    ],
    ['beats without a strum', '| G | D |', ['none']],
  ])('from the strokes alone: %s', (_, text, expected) => {
    expect(strumsOf(withoutWords(fileOf(typed(text))))).toEqual(expected);
  });

  test('the strokes are believed where the words say something else', () => {
    const file = fileOf(typed('strum: eighths D- DU\n| G |'));
    expect(strumsOf(file.replaceAll('up-bow', 'down-bow'))).toEqual(['eighths D- DD']);
  });

  test('words alone, as earlier files have them, where no note has a mark', () => {
    const file = fileOf(typed('| G |')).replace(
      '<harmony',
      '<direction><direction-type><words>eighths D- DU</words></direction-type></direction><harmony',
    );
    expect(strumsOf(file)).toEqual(['eighths D- DU']);
  });

  const bar = (notes: string): string =>
    `<measure number="1"><attributes><divisions>12</divisions></attributes><harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>${notes}</measure>`;
  const score = (...measures: string[]): string =>
    `<score-partwise><part-list/><part>${measures.join('')}</part></score-partwise>`;
  const stroke = (duration: number, mark: string, head = 'slash', voice = 1): string =>
    `<note><pitch><step>B</step><octave>4</octave></pitch><duration>${duration}</duration><voice>${voice}</voice>${head ? `<notehead>${head}</notehead>` : ''}${mark ? `<notations><technical><${mark}/></technical></notations>` : ''}</note>`;
  const DOWN_UP = stroke(12, 'down-bow') + stroke(6, 'down-bow') + stroke(6, 'up-bow');

  test('of another program: in a second voice, under a tune', () => {
    const tune = stroke(48, '', '', 1);
    const file = score(
      bar(
        `${tune}<backup><duration>48</duration></backup>${(DOWN_UP + DOWN_UP).replaceAll('<voice>1', '<voice>2')}`,
      ),
    );
    expect(strumsOf(file)).toEqual(['eighths D- DU']);
  });

  test('bars that go on in the same rhythm without marks', () => {
    const later = (DOWN_UP + DOWN_UP).replace(/<notations>.*?<\/notations>/g, '');
    expect(strumsOf(score(bar(DOWN_UP + DOWN_UP), bar(later)))).toEqual(['eighths D- DU']);
    expect(strumsOf(score(bar(DOWN_UP + DOWN_UP), bar(stroke(48, ''))))).toEqual([
      'none',
      'eighths D- DU',
    ]);
  });

  test.each([
    ['a tune with bowings', bar(stroke(24, 'down-bow', '') + stroke(24, 'up-bow', ''))],
    ['slashes without marks', bar(stroke(24, '') + stroke(24, ''))],
    ['marks on some strokes only', bar(stroke(24, 'down-bow') + stroke(24, ''))],
  ])('%s is none', (_, measure) => {
    expect(strumsOf(score(measure))).toEqual(['none']);
  });

  test('a style that shows all notes as slashes with stems', () => {
    const style =
      '<attributes><measure-style><slash type="start" use-stems="yes"/></measure-style></attributes>';
    const notes = stroke(24, 'down-bow', '') + stroke(24, 'up-bow', '');
    expect(strumsOf(score(bar(style + notes)))).toEqual(['eighths D- -- U- --']);
  });

  test('strokes on no grid are left out, with a warning', () => {
    const { warnings } = read(
      score(bar(stroke(4, 'down-bow') + stroke(23, 'up-bow') + stroke(21, 'up-bow'))),
    );
    expect(warnings.map(({ code }) => code)).toContain('musicxml-strum');
  });
});

/** Strokes of a bar where a chord sounds. */
const heardStrokes = (bar: PlayedBar) =>
  strokesInBar(bar).filter(({ at, cell }) => {
    const chord = bar.chords.findLast((c) => c.at.n * at.d <= at.n * c.at.d)?.chord ?? bar.held;
    // Where no chord has begun nothing is struck on paper.
    return cell.kind === 'stroke' && chord?.kind === 'chord';
  });

describe('out and in without words', () => {
  test.each(demoCharts().map((demo) => [demo.title, demo] as const))(
    '%s has every stroke',
    (_, demo) => {
      const again = read(withoutWords(fileOf(demo)));
      expect(again.warnings).toEqual([]);
      expect(unwrap(playForm(again.chart)).map(heardStrokes)).toEqual(
        unwrap(playForm(demo)).map(heardStrokes),
      );
    },
  );

  /** A bar that starts under N.C. on paper may sound when its repeat is taken, so silence has its own example. */
  const alwaysSounding = charts.map((chart): ChartBody =>
    JSON.parse(JSON.stringify(chart).replaceAll('"N.C."', '"E"')),
  );

  test('any chart keeps the strokes of its strums', () => {
    fc.assert(
      fc.property(alwaysSounding, (chart) => {
        const before = unwrap(playForm(chart));
        fc.pre(before.some(({ chords }) => chords.length > 0));
        const again = read(withoutWords(fileOf(chart)));
        // A bar of 28 quarters can have more strokes than a pattern may; then it says so.
        fc.pre(again.warnings.length === 0);
        const after = unwrap(playForm(again.chart)).map(heardStrokes);
        expect(after).toHaveLength(before.length);
        before.forEach((bar, i) => {
          const strokes = heardStrokes(bar);
          // A bar that only rings on shows no stroke that could be read.
          if (strokes.length > 0) expect(after[i]).toEqual(strokes);
        });
      }),
      { numRuns: runs(12, 1_000), endOnFailure: true },
    );
  });
});

describe('in bars of half a quarter more', () => {
  test.each([
    ['7/8 (2+2+3)', 'eighths DU DU DxUU'],
    ['7/8', 'sixteenths D-DUD-DUD-DUUU'],
    ['5/8 (2+3)', 'eighths D- DUU'],
    ['9/8', 'eighths D-U D-U D>UU'],
    ['3/8', 'sixteenths D-DUD-'],
    ['11/8 (3+3+3+2)', 'eighths D-U D-U D-U D-'],
  ])('strokes of %s without words are a pattern that can be typed: %s', (meter, strum) => {
    const { chart, warnings } = read(
      withoutWords(fileOf(typed(`meter: ${meter}\nstrum: ${strum}\n| G | C | D |`))),
    );
    expect(warnings).toEqual([]);
    expect(unwrap(parseChart(printChart(chart))).sections[0]!.strum).toEqual(
      chart.sections[0]!.strum,
    );
    expect(printStrum(chart.sections[0]!.strum!).replaceAll(' ', '')).toBe(
      strum.replaceAll(' ', ''),
    );
  });
});

describe('a pattern over two bars', () => {
  const four = '| G | D | Em | C |';
  test.each([
    ['both halves struck', 'eighths D- DU -U DU D- D- D- DU', four],
    ['the second half rings on', 'eighths D- D- D- D- -- -- -- --', four],
    [
      'a pickup has the end of it',
      'eighths D- D- D- D- DU DU DU DU',
      '| pickup 1/4 G | G | D | C | D |',
    ],
    ['an odd number of bars', 'eighths D- D- D- D- DU DU DU DU', '| G | D | C | G | D |'],
  ])('%s: comes back whole, with its words and without', (_, strum, bars) => {
    const chart = typed(`strum: ${strum}\n${bars}`);
    const file = fileOf(chart);
    expect(unwrap(readMusicXml(file)).chart.sections).toEqual(chart.sections);
    const [section] = read(withoutWords(file)).chart.sections;
    expect(printStrum(section!.strum!, section!.meter)).toBe(printStrum(chart.sections[0]!.strum!));
  });

  test('a half without strokes takes over none of another pattern, where its own cannot be kept', () => {
    const bars = '| pickup 1/4 Am | G {eighths D- DU} | C {eighths D- DU -U DU} |';
    const form = 'form:\nA x2 ending | F {eighths DU} |';
    const chart = typed(`strum: eighths D- -- -- -- -- -- -- --\n${bars}\n\n${form}`);
    const played = unwrap(playForm(read(fileOf(chart)).chart));
    expect(played.filter(({ pickup }) => pickup).map(({ strum }) => strum)).toEqual([
      undefined,
      undefined,
    ]);
    expect(played.filter(({ pickup }) => !pickup).map(heardStrokes)).toEqual(
      unwrap(playForm(chart))
        .filter(({ pickup }) => !pickup)
        .map(heardStrokes),
    );
  });

  const HALF = '{eighths D- DU -U DU -- -- -- --}';
  const LATER = '{eighths -- -- -- -- D- DU -U DU}';
  test.each([
    ['of one bar among plain ones', `| G | C ${HALF} | D |`],
    ['that lets its first bar ring', `| G | C ${LATER} | D |`],
    ['among bars of another strum', `strum: eighths D- DU -U DU\n| G | C ${HALF} | D |`],
    ['over a bar and its repeat', `| G | C ${LATER} | % | D |`],
    ['begun anew after a pickup', `| pickup 1/4 G | G ${HALF} | % | C ${HALF} | % |`],
    [
      'of a section in which one bar has its own',
      'strum: eighths -- -- -- -- D- DU -U DU\n| G | % | C | D | A {eighths DU DU DU DU} | G | D |',
    ],
  ])('%s comes back to the letter', (_, text) => {
    const chart = typed(text);
    expect(read(fileOf(chart)).chart.sections).toEqual(chart.sections);
  });
});
