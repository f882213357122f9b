// A chart moved by semitones or to another capo: everything in it moves together.
import { describe, expect, test } from 'vitest';
import type { ChartBody } from '../../../app/core/model/chart.ts';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { moveCapo, moveChart } from '../../../app/core/chart/transposition.ts';
import { leadMoments } from '../../../app/core/timeline/lead.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const chart = (head: string, bars: string): ChartBody =>
  unwrap(parseChart(`title: T\n${head}tempo: q = 90\nmeter: 4/4\n\n[A]\n${bars}\n\nform:\nA\n`));
const text = (body: ChartBody) => printChart(body);

describe('by semitones', () => {
  test('key and chords move, spelled for the new key', () => {
    const { chart: moved } = unwrap(moveChart(chart('key: G\n', '| G | D/F# | Em7 | N.C. |'), 1));
    expect(moved.key).toBe('A♭');
    expect(text(moved)).toContain('| Ab | Eb/G | Fm7 | N.C. |');
  });

  test('a shape without open strings moves along the neck; one with them is let go', () => {
    const pinned = chart('shape Bm = x24432\nshape G = 320003\n', '| Bm | G | F[133211] |');
    const up = unwrap(moveChart(pinned, 2));
    expect(text(up.chart)).toContain('shape C#m = x46654');
    expect(text(up.chart)).toContain('G[355433]');
    expect(up.unpinned).toEqual(['G']);
    const down = unwrap(moveChart(pinned, -1));
    expect(down.unpinned).toEqual(['G', 'F']);
    expect(text(down.chart)).toContain('shape Bbm = x13321');
  });

  test('altered endings move, too', () => {
    const ending = unwrap(
      parseChart(
        'title: T\ntempo: q = 90\nmeter: 4/4\n\n[A]\n| G | C |\n\nform:\nA ending | D |\n',
      ),
    );
    expect(text(unwrap(moveChart(ending, 2)).chart)).toContain('ending | E |');
  });

  const demos = demoCharts().map((demo) => unwrap(parseChart(printChart(demo))));

  test.each(demos.map((demo) => [demo.title, demo] as const))(
    '‘%s’ comes back from up and down',
    (_, demo) => {
      expect(unwrap(moveChart(demo, 0)).chart).toEqual(demo);
      const back = unwrap(moveChart(unwrap(moveChart(demo, 2)).chart, -2)).chart;
      expect(printChart(back)).toBe(printChart(demo));
    },
  );

  test('a lead line moves along the neck, and not beyond it', () => {
    const led = demos.find((demo) => demo.sections.some((section) => section.leads))!;
    const frets = (body: ChartBody) =>
      JSON.stringify(body.sections.map((section) => section.leads)).match(/"fret":\d+/g)!;
    const up = unwrap(moveChart(led, 1)).chart;
    expect(frets(up).map((f) => Number(f.slice(7)) - 1)).toEqual(
      frets(led).map((f) => Number(f.slice(7))),
    );
    expect(moveChart(led, 23)).toMatchObject({
      ok: false,
      problems: [
        { code: 'lead-off-neck', message: 'The lead line ‘Landing’ would leave the neck.' },
      ],
    });
  });

  test('an unreadable chord or key stops the move', () => {
    const odd = { ...chart('', '| G |'), key: 'loud' };
    expect(moveChart(odd, 1)).toMatchObject({ ok: false, problems: [{ code: 'key-unreadable' }] });
  });
});

describe('to another capo', () => {
  const led = (key: string, part: string, two: string) =>
    chart(
      `key: ${key}\n`,
      `| C | C |\nline: Hook, bar 1\npart One: | ${part} |\npart Two: One, ${two}`,
    );

  test.each([
    ['a bent note on the open string', led('C', '4 3/5b1 3/7 2/5 2/8', 'third above')],
    ['a note below the open string', led('C', '4 3/2 3/7 2/5 2/8', 'third above')],
    ['a part that follows, below the lowest string', led('C', '4 6/5 6/7 6/8 5/5', 'third below')],
  ])('a lead line that could not be played there stops the move: %s', (_, body) => {
    expect(moveCapo(body, 5)).toMatchObject({
      ok: false,
      problems: [{ code: 'lead-off-neck', message: 'The lead line ‘Hook’ would leave the neck.' }],
    });
  });

  test('a derived part sounds as before', () => {
    const body = led('D', '4 3/7 3/9 3/11 2/10', 'third above');
    const sounds = (moved: ChartBody) => {
      const unit = unwrap(resolveUnit(moved, { kind: 'form' }));
      const part = { lead: 'Hook', part: 'Two' };
      return leadMoments(unit, 90, { countIn: 'none', restBars: 0 }, part).map(({ notes }) =>
        notes.map(({ pitch }) => pitch),
      );
    };
    // D E F♯ A, so F♯ G A C♯ (counted on the scale of D by hand).
    expect(sounds(body)).toEqual([[66], [67], [69], [73]]);
    for (const capo of [1, 3, 7])
      expect(sounds(unwrap(moveCapo(body, capo)).chart)).toEqual(sounds(body));
  });

  test('what sounds stays: B♭ without a capo is G at the third fret', () => {
    const { chart: moved } = unwrap(moveCapo(chart('key: Bb\n', '| Bb | Gm7 | F/A |'), 3));
    expect(moved).toMatchObject({ capo: 3, key: 'G' });
    expect(text(moved)).toContain('| G | Em7 | D/F# |');
  });

  test('and back', () => {
    const at2 = { ...chart('key: G\n', '| G | Em |'), capo: 2 };
    expect(text(unwrap(moveCapo(at2, 0)).chart)).toContain('| A | F#m |');
  });
});
