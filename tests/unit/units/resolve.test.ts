// Units worked out by hand: which bars are played, what is held, what changes.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import { unrollForm } from '../../../app/core/chart/form/form.ts';
import { playForm } from '../../../app/core/units/bars/played-bars.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import type { PlayedBar, Unit, UnitRef } from '../../../app/core/model/unit.ts';
import { strokesInBar } from '../../../app/core/rhythm/strum.ts';
import { parseUnitKey, UNIT_KINDS, unitKey } from '../../../app/core/units/keys.ts';
import { firstUnit, listUnits, offersKind, resolveUnit } from '../../../app/core/units/resolve.ts';
import { BARE_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { charts } from '../chart/arbitrary.ts';

const chart = (sections: string, head = 'tempo: 100'): Chart => ({
  id: 'test',
  ...unwrap(parseChart(`title: Test\n${head}\n${sections}`)),
});

const unit = (of: Chart, ref: UnitRef): Unit => unwrap(resolveUnit(of, ref));

/** "Verse 3: (G) D@2": section, bar, chord held at the start, changes. */
function show({ section, bar, held, chords }: PlayedBar): string {
  const changes = chords.map(
    ({ chord, at }) => ` ${chord.symbol}@${at.n}${at.d === 1 ? '' : `/${at.d}`}`,
  );
  return `${section} ${bar}:${held ? ` (${held.symbol})` : ''}${changes.join('')}`;
}

/** Every stroke of a unit without count-in, in quarter notes from its start, as they sound. */
function strokeMoments(of: Unit): readonly number[] {
  let start = 0;
  return of.bars.flatMap((bar) => {
    const at = strokesInBar(bar).map(({ swungAt }) => start + swungAt.n / swungAt.d);
    start += bar.length.n / bar.length.d;
    return at;
  });
}

const shown = (of: Unit): string[] => of.bars.map(show);
const problemOf = (of: Chart, ref: UnitRef): unknown => {
  const result = resolveUnit(of, ref);
  return result.ok ? undefined : result.problems[0];
};

describe('a section', () => {
  test('repeats, endings and similes unrolled; a held chord is no change', () => {
    const song = chart('[Verse]\n|: G | % | C / / G |1. G / D / :|2. G |');
    expect(shown(unit(song, { kind: 'section', section: 'Verse' }))).toEqual([
      'Verse 1: G@0',
      'Verse 2: (G)',
      'Verse 3: C@0 G@3',
      'Verse 4: (G) D@2',
      'Verse 1: G@0',
      'Verse 2: (G)',
      'Verse 3: C@0 G@3',
      'Verse 5: (G)',
    ]);
  });

  test('three times through with two endings', () => {
    const song = chart('[Verse]\n|: G |1,2. C :|3. D | E |');
    expect(shown(unit(song, { kind: 'section', section: 'Verse' })).join(' ')).toBe(
      'Verse 1: G@0 Verse 2: C@0 Verse 1: G@0 Verse 2: C@0 Verse 1: G@0 Verse 3: D@0 Verse 4: E@0',
    );
  });

  test('a repeat without a start goes back to the repeat before it', () => {
    const song = chart('[Verse]\n| G | C :| D | E :| x3');
    const bars = unit(song, { kind: 'section', section: 'Verse' }).bars.map((bar) => bar.bar);
    expect(bars).toEqual([1, 2, 1, 2, 3, 4, 3, 4, 3, 4]);
  });

  test('a chord that comes over from the section before is held at its start', () => {
    const song = chart('[Intro]\n| G | D / C / |\n[Verse]\n| / | G |');
    expect(shown(unit(song, { kind: 'section', section: 'Verse' }))).toEqual([
      'Verse 1: (C)',
      'Verse 2: G@0',
    ]);
    expect(shown(unit(song, { kind: 'section', section: 'Intro' }))).toEqual([
      'Intro 1: G@0',
      'Intro 2: D@0 C@2',
    ]);
  });

  test('another shape for the same chord is a change', () => {
    const song = chart('[Verse]\n| G G[355433] G G |');
    expect(shown(unit(song, { kind: 'section', section: 'Verse' }))).toEqual(['Verse 1: G@0 G@1']);
  });

  test('F# and F♯ are one chord', () => {
    const song = chart('[Verse]\n| F# / F♯ / |');
    expect(shown(unit(song, { kind: 'section', section: 'Verse' }))).toEqual(['Verse 1: F#@0']);
  });

  test('meter changes hold to the end of the section; a pickup keeps its meter', () => {
    const song = chart('[Verse]\n| pickup / D | G | 3/4 C | % |');
    const bars = unit(song, { kind: 'section', section: 'Verse' }).bars;
    expect(bars.map((bar) => bar.length.n)).toEqual([2, 4, 3, 3]);
    expect(bars.map((bar) => bar.pickup)).toEqual([true, false, false, false]);
    expect(bars[0]!.meter.numerator).toBe(4);
  });

  test('a repeated bar brings its strum along', () => {
    const song = chart('[Verse]\nstrum: eighths DU\n| G {eighths D-} | % | D |');
    const strums = unit(song, { kind: 'section', section: 'Verse' }).bars.map(
      (b) => strokesInBar(b).length,
    );
    expect(strums).toEqual([4, 4, 8]);
  });
});

describe('a range of bars', () => {
  const song = chart('[Intro]\n| A |\n[Verse]\n|: G | C / / D |1. / / E / :|2. G | A |');

  test.each([
    [1, 2, ['Verse 1: G@0', 'Verse 2: C@0 D@3']],
    [2, 2, ['Verse 2: C@0 D@3']],
    ['3, which goes on with the chord before', 3, ['Verse 3: (D) E@2']],
    ['2 into the second ending', 4, ['Verse 2: C@0 D@3', 'Verse 4: G@0']],
  ])('bars %s–%i', (from, to, bars) => {
    const start = typeof from === 'number' ? from : Number.parseInt(from, 10);
    expect(shown(unit(song, { kind: 'bars', section: 'Verse', from: start, to }))).toEqual(bars);
  });

  test('the first ending into the second goes round through the start', () => {
    const bars = unit(song, { kind: 'bars', section: 'Verse', from: 3, to: 4 }).bars;
    expect(bars.map((bar) => bar.bar)).toEqual([3, 1, 2, 4]);
  });

  test('names and keys', () => {
    const range = unit(song, { kind: 'bars', section: 'Verse', from: 1, to: 2 });
    expect([range.name, range.key]).toEqual(['Verse, bars 1–2', 'bars:Verse:1-2']);
    expect(unit(song, { kind: 'bars', section: 'Verse', from: 5, to: 5 }).name).toBe(
      'Verse, bar 5',
    );
  });

  test('bars that are not there', () => {
    expect(problemOf(song, { kind: 'bars', section: 'Verse', from: 2, to: 9 })).toMatchObject({
      code: 'unit-bars-gone',
      message: '‘Verse’ has 5 bars, and bar 9 never follows bar 2',
    });
  });
});

describe('the form', () => {
  const song = chart(
    '[Verse]\n| G | D |\n[Bridge]\ntempo: 80\n| Em | C |\n' +
      'form:\nVerse x2 ending | A |\nBridge added | A / / D | % |\nVerse',
  );

  test('repeats of entries, altered and added endings', () => {
    expect(unwrap(playForm(song)).map(show)).toEqual([
      'Verse 1: G@0',
      'Verse 2: D@0',
      'Verse 1: G@0',
      'Verse 3: A@0',
      'Bridge 1: Em@0',
      'Bridge 2: C@0',
      'Bridge 3: A@0 D@3',
      'Bridge 4: A@0 D@3',
      'Verse 1: G@0',
      'Verse 2: D@0',
    ]);
  });

  test('each time through is counted over the whole form', () => {
    const places = unwrap(unrollForm(song));
    expect(places.map(({ section, time, altered }) => [section.name, time, altered])).toEqual([
      ['Verse', 1, false],
      ['Verse', 2, true],
      ['Bridge', 1, true],
      ['Verse', 3, false],
    ]);
  });

  test('as a unit it has the tempo of its first bar and each section its own', () => {
    const whole = unit(song, { kind: 'form' });
    expect(whole.tempo.bpm).toBe(100);
    expect(new Set(whole.bars.map((bar) => bar.tempo.bpm))).toEqual(new Set([100, 80]));
  });

  test('an altered ending replaces the last bars as played, repeats included', () => {
    const repeated = chart('[Verse]\n|: G | D :|\nform: Verse ending | C |');
    expect(unwrap(playForm(repeated)).map(show)).toEqual([
      'Verse 1: G@0',
      'Verse 2: D@0',
      'Verse 1: G@0',
      'Verse 3: C@0',
    ]);
  });

  test('a stretch from here to there', () => {
    const stretch = unit(song, { kind: 'stretch', fromEntry: 1, toEntry: 2 });
    expect(stretch.name).toBe('From Verse (2nd time) to Bridge');
    expect(shown(stretch)).toEqual([
      'Verse 1: G@0',
      'Verse 3: A@0',
      'Bridge 1: Em@0',
      'Bridge 2: C@0',
      'Bridge 3: A@0 D@3',
      'Bridge 4: A@0 D@3',
    ]);
    expect(problemOf(song, { kind: 'stretch', fromEntry: 2, toEntry: 7 })).toMatchObject({
      code: 'unit-stretch-gone',
    });
  });
});

describe('a join', () => {
  const song = chart(
    '[Verse]\n| G | D | C / / D |\n[Chorus]\n| / / Em / | C | G |\nform:\nVerse x2 ending | A | B7 |\nChorus',
  );

  test('plays the end of one section straight into the other', () => {
    const join = unit(song, { kind: 'join', entry: 0, before: 1, after: 2 });
    expect(join.name).toBe('Verse (1st time) into Verse (2nd time)');
    expect(shown(join)).toEqual(['Verse 3: C@0 D@3', 'Verse 1: G@0', 'Verse 4: A@0']);
  });

  test('has the altered ending where the form has it, and the chord held across', () => {
    const join = unit(song, { kind: 'join', entry: 1, before: 1, after: 2 });
    expect(shown(join)).toEqual(['Verse 5: B7@0', 'Chorus 1: (B7) Em@2', 'Chorus 2: C@0']);
  });

  test.each([
    [{ kind: 'join', entry: 2, before: 1, after: 1 }, 'unit-join-gone'],
    [{ kind: 'join', entry: 0, before: 4, after: 1 }, 'unit-join-long'],
    [{ kind: 'join', entry: 0, before: 0, after: 1 }, 'unit-join-empty'],
  ] as const)('%o is refused', (ref, code) => {
    expect(problemOf(song, ref)).toMatchObject({ code });
  });
});

describe('a pair', () => {
  test('a turnaround of three beats plus one, back and forth', () => {
    const song = chart('[Verse]\nstrum: eighths D- DU\n| G | C / / D | G |');
    const pair = unit(song, { kind: 'pair', from: 'C', to: 'D' });
    expect(pair.name).toBe('C and D');
    expect(shown(pair)).toEqual(Array<string>(4).fill('Verse 2: C@0 D@3'));
  });

  test('halves of two bars become bars of their own meter, with their own strokes', () => {
    const song = chart('[Verse]\nstrum: eighths D- D- DU DU\n| G / D / | Em / C / |');
    const pair = unit(song, { kind: 'pair', from: 'D', to: 'Em' });
    expect(pair.bars.slice(0, 2).map((bar) => [show(bar), bar.meter.numerator])).toEqual([
      ['Verse 1: D@0', 2],
      ['Verse 2: Em@0', 2],
    ]);
    // Beats 3 and 4 of the bar have down-up each.
    expect(strokesInBar(pair.bars[0]!)).toHaveLength(4);
  });

  test('chords keep the bars they last', () => {
    const song = chart('[Verse]\n| G | % | Bm | D |');
    const pair = unit(song, { kind: 'pair', from: 'G', to: 'Bm' });
    expect(shown(pair).slice(0, 3)).toEqual(['Verse 1: G@0', 'Verse 2: (G)', 'Verse 3: Bm@0']);
    expect(pair.bars).toHaveLength(6);
  });

  test.each([
    ['half a bar into a whole one', '| G / D / | Em | C |', 'D', 'Em', 8],
    ['two bars into half a bar', '| G | % | Bm / D / |', 'G', 'Bm', 8],
    ['ahead of its beat', '| G / / (/ C) | / | D |', 'C', 'D', 8],
    ['out of a pickup', '| pickup 1/4 D | G |', 'D', 'G', 8],
    ['into another meter', '| D | 3/4 G | G |', 'D', 'G', 6],
  ] as const)('%s: one full bar each, all in one meter', (_, bars, from, to, quarters) => {
    const pair = unit(chart(`[Verse]\nstrum: eighths DU DU DU DU\n${bars}`), {
      kind: 'pair',
      from,
      to,
    });
    expect(pair.bars.map(({ chords }) => chords.map(({ chord }) => chord.symbol).join())).toEqual(
      Array.from({ length: 4 }, () => [from, to]).flat(),
    );
    expect(new Set(pair.bars.map(({ length }) => length.n / length.d))).toEqual(
      new Set([quarters / 2]),
    );
    expect(new Set(pair.bars.map(({ meter }) => meter.numerator)).size).toBe(1);
  });

  test('in 7/8 the part keeps the long beat', () => {
    const song = chart('[Verse]\n| G D E |', 'tempo: 100\nmeter: 7/8');
    const pair = unit(song, { kind: 'pair', from: 'D', to: 'E' });
    expect(pair.bars[0]!.meter).toEqual({ numerator: 5, unit: 8, grouping: [2, 3] });
    expect(show(pair.bars[0]!)).toBe('Verse 1: D@0 E@1');
  });

  test('from a pickup that begins inside a beat: the pair gets the whole bar', () => {
    const song = chart('[Verse]\n| pickup 3/8 D | G |');
    const pair = unit(song, { kind: 'pair', from: 'D', to: 'G' });
    const [first] = pair.bars;
    expect([first!.pickup, first!.length]).toEqual([false, { n: 4, d: 1 }]);
  });

  test.each([
    ['4/4', 'pickup 3/8 G / D', 'swing 8 2:1', 'G', 'D', ['0', '2/3', '1', '5/3']],
    ['4/4', 'pickup 5/8 G / D / /', 'swing 8 3:1', 'G', 'D', ['0', '3/4', '1', '7/4', '2', '11/4']],
    ['4/4', 'pickup 2/4 G D', 'swing 8 2:1', 'G', 'D', ['0', '2/3', '1', '5/3']],
    ['3/4', 'pickup 3/8 G / D', 'swing 8 2:1', 'G', 'D', ['0', '2/3', '1', '5/3']],
    ['4/4', 'pickup 3/8 G / D', 'straight', 'G', 'D', ['0', '1/2', '1', '3/2']],
    ['6/8', 'pickup 2/8 G D', 'straight', 'G', 'D', ['0', '1/2', '1']],
  ] as const)('%s, %s, %s: strokes fall on the clicks of the pair', (...given) => {
    const [meter, pickup, feel, from, to, moments] = given;
    const head = `tempo: 100\nmeter: ${meter}\nfeel: ${feel}`;
    const strum = meter === '6/8' ? 'DUD' : 'DU';
    const song = chart(`[Verse]\nstrum: eighths ${strum}\n| ${pickup} | C | G |`, head);
    const pair = unit(song, { kind: 'pair', from, to });
    const swung = strokesInBar(pair.bars[0]!).map(({ swungAt: { n, d } }) =>
      d === 1 ? `${n}` : `${n}/${d}`,
    );
    expect(swung).toEqual(moments);
    const lap = buildLap(pair, 100, BARE_LAP);
    const strokes = new Set(strokeMoments(pair));
    for (const { kind, at } of lap.events) {
      if (kind === 'bar' || kind === 'beat') expect(strokes).toContain(at.n / at.d);
    }
  });

  test('chords that never meet', () => {
    const song = chart('[Verse]\n| G | D |');
    expect(problemOf(song, { kind: 'pair', from: 'D', to: 'G' })).toMatchObject({
      code: 'unit-pair-gone',
      message: 'no D is followed by G in this chart',
    });
  });
});

describe('keys', () => {
  const refs: UnitRef[] = [
    { kind: 'section', section: 'Verse 2' },
    { kind: 'bars', section: 'Pre-chorus', from: 3, to: 6 },
    { kind: 'form' },
    { kind: 'join', entry: 3, before: 2, after: 1 },
    { kind: 'pair', from: 'C/G', to: 'F♯m7♭5' },
    { kind: 'stretch', fromEntry: 0, toEntry: 12 },
  ];

  test.each(refs.map((ref) => [unitKey(ref), ref] as const))('%s', (key, ref) => {
    expect(unwrap(parseUnitKey(key))).toEqual(ref);
  });

  test('anything else is no key', () => {
    for (const key of ['', 'song', 'bars:Verse', 'join:1:2', 'pair:G', 'section:', '__proto__']) {
      expect(parseUnitKey(key)).toMatchObject({ ok: false, problems: [{ code: 'unit-key' }] });
    }
  });
});

describe('what a chart offers by itself', () => {
  test('sections, joins, changes and the form; equal joins once, silence in no pair', () => {
    const song = chart('[A]\n| G | N.C. |\n[B]\n| D | G |\nform: A, B, A, B');
    expect(listUnits(song).map(({ key }) => key)).toEqual([
      'section:A',
      'section:B',
      'join:0:2+2',
      'join:1:2+2',
      'hardest:B',
      'pair:D:G',
      'form',
    ]);
  });

  test('which kinds it has, and its first unit, are those of the whole list', () => {
    fc.assert(
      fc.property(fc.oneof(charts, fc.constantFrom(...demoCharts())), (some) => {
        const all = listUnits(some);
        expect(firstUnit(some)).toEqual(all[0]);
        for (const kind of UNIT_KINDS) {
          const ofKind = all.filter(({ ref }) => ref.kind === kind);
          expect(listUnits(some, kind)).toEqual(ofKind);
          expect([kind, offersKind(some, kind)]).toEqual([kind, ofKind.length > 0]);
        }
      }),
      { numRuns: 30 },
    );
  });

  test('nothing but sections where the form says nothing, and nothing at all without bars', () => {
    const body = chart('[A]\n| G |');
    const formless = { ...body, form: [] };
    expect(UNIT_KINDS.filter((kind) => offersKind(formless, kind))).toEqual(['section']);
    const empty = { ...formless, sections: [{ ...body.sections[0]!, bars: [] }] };
    expect(firstUnit(empty)).toBeUndefined();
    expect(UNIT_KINDS.filter((kind) => offersKind(empty, kind))).toEqual([]);
  });

  test('every unit of the demo charts resolves, and its key finds it again', () => {
    for (const demo of demoCharts()) {
      for (const listed of listUnits(demo)) {
        const again = unit(demo, unwrap(parseUnitKey(listed.key)));
        expect(again).toEqual(listed);
      }
    }
  });

  test('demo charts: one slow and compound, one swung, one fast; 4 to 6 sections, 3 + 1 turnarounds', () => {
    const demos = demoCharts().slice(3);
    expect(demos.map(({ tempo, feel }) => [tempo.beat, feel.kind])).toEqual([
      ['dotted-quarter', 'straight'],
      ['quarter', 'swing'],
      ['quarter', 'straight'],
    ]);
    for (const { sections, form } of demos) {
      expect(sections.length).toBeGreaterThanOrEqual(4);
      expect(sections.length).toBeLessThanOrEqual(6);
      expect(form.some((entry) => entry.ending?.kind === 'replace')).toBe(true);
      expect(sections.some((section) => section.bars[0]!.pickup)).toBe(true);
      expect(sections.every((section) => section.strum)).toBe(true);
    }
    expect(demos[2]!.tempo.bpm).toBe(176);
  });
});
