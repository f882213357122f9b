// What the record's screens work out before they draw: columns, filters, calendar, sheet, drafts, candidates.
import { describe, expect, it } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { readChartText } from '../../../app/core/chart/notation/chart-text.ts';
import { demoNamed } from '../../support/demo.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { suggestRules } from '../../../app/core/ladder/suggest.ts';
import { assign, OWN_DESK, type Student } from '../../../app/core/progress/assignment.ts';
import { reasonsFor } from '../../../app/core/progress/reasons.ts';
import { practiceDays } from '../../../app/core/log/days.ts';
import { draftFor, termsOf, wholeChartRules } from '../../../renderer/parts/terms/terms-draft.ts';
import { calendarGrid, WEEKS } from '../../../renderer/screens/history/calendar-grid.ts';
import {
  ownedColumns,
  ownedDays,
  tempoColumns,
  tempoRange,
  tempoSpan,
} from '../../../renderer/screens/history/tempo-data.ts';
import { sectionStrokes } from '../../../renderer/parts/strum/drawn-strokes.ts';
import { laddersOf, shapesOf } from '../../../renderer/screens/sheet/sheet-data.ts';
import { candidatesOf } from '../../../renderer/state/today/candidates.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { standingOf } from '../../../app/core/progress/standing.ts';
import { fakeServices } from '../../support/fake-services.ts';
import { pass, passesOf } from '../log/passes.ts';

const chart = demoNamed('low-tide-lanterns');
const units = listUnits(chart);
const DAY = '2031-04-05';

/** A log that holds these passes. */
function asking(passes: readonly PassRecord[]) {
  const services = fakeServices();
  for (const one of passes)
    services.logged.push({
      kind: 'pass',
      pass: { ...one, id: crypto.randomUUID() },
      unit: { fingerprint: one.unit.fingerprint, bars: [] },
    });
  return services.call;
}

describe('the tempo plot', () => {
  const rung = [72, 76, 80, 84, -84, 84, -88, -88];
  const passes = [
    ...passesOf('2031-04-05T09:00:00Z', [60, ...rung, ...rung]),
    ...passesOf('2031-04-06T09:00:00Z', [-60, ...rung, ...rung]),
  ];

  it('stands every pass at its moment, with the owned tempo at the end of each day', () => {
    const days = [...ownedDays(passes, passes, 'quarter')];
    const columns = tempoColumns(passes, 'quarter', 'time', days);
    expect(columns.x[0]).toBe(Date.UTC(2031, 3, 5, 9) / 1000);
    expect([...columns.bpm.slice(0, 3)]).toEqual([60, 72, 76]);
    expect(columns.days.map(({ date, at }) => [date, at])).toEqual([
      ['2031-04-05', 16],
      ['2031-04-06', 33],
    ]);
    const { middle, low, high } = ownedColumns(columns);
    expect(middle.filter((value) => value !== null)).toHaveLength(2);
    expect(low[33]!).toBeLessThan(middle[33]!);
    expect(high[33]!).toBeGreaterThan(middle[33]!);
  });

  it('stands passes one beside the other when asked', () => {
    const { x } = tempoColumns(passes, 'quarter', 'passes');
    expect([...x.slice(0, 3)]).toEqual([0, 1, 2]);
  });

  it('shows the target, and a due date that is near', () => {
    const columns = tempoColumns(passes, 'quarter', 'time');
    const [low, high] = tempoRange(columns, 120);
    expect(low).toBeLessThan(60);
    expect(high).toBeGreaterThan(120);
    const last = columns.x.at(-1)!;
    expect(tempoSpan(columns, last + 86_400 * 10)[1]).toBeGreaterThan(last + 86_400 * 10);
    expect(tempoSpan(columns, last + 86_400 * 400)[1]).toBeLessThan(last + 86_400);
  });

  it('thins the owned tempos of a long log and keeps the latest', () => {
    const long = Array.from({ length: 1000 }, (_, i) =>
      pass(new Date(Date.UTC(2028, 0, 1 + i, 9)).toISOString()),
    );
    const days = [...ownedDays(long, long, 'quarter')];
    expect(days.length).toBeLessThanOrEqual(120);
    expect(days.at(-1)!.at).toBe(999);
  });
});

describe('calendarGrid', () => {
  it('ends with the week of today, Monday on top, squares growing with the minutes', () => {
    const days = practiceDays([
      pass('2031-04-01T09:00:00Z', { duration: 60 }), // Tuesday
      pass('2031-04-03T09:00:00Z', { duration: 3600 }), // Thursday
    ]);
    const grid = calendarGrid(days, DAY); // a Saturday
    expect(grid).toHaveLength(7 * (WEEKS - 1) + 6);
    expect(grid.at(-1)).toMatchObject({ date: DAY, column: WEEKS - 1, row: 5, size: 0 });
    const [short, long] = grid.filter(({ day }) => day);
    expect([short!.row, long!.row]).toEqual([1, 3]);
    expect(short!.size).toBeLessThan(long!.size);
    expect(long!.size).toBe(1);
  });
});

describe('the lesson sheet', () => {
  it('has one shape for each chord of the chart, under its name', () => {
    const symbols = shapesOf(chart).map(({ symbol }) => symbol);
    expect(new Set(symbols).size).toBe(symbols.length);
    expect(symbols).toContain('D');
    for (const { shape } of shapesOf(chart)) expect(shape.frets).toHaveLength(6);
  });

  it('has the shapes of an altered ending, too, under the section that it ends', () => {
    const song = unwrap(
      readChartText(
        'title: T\ntempo: 90\n\n[Verse]\n| G | C |\n\nform:\nVerse ending | Am7 |\n',
        't',
      ),
    );
    expect(shapesOf(song).map(({ symbol, sections }) => [symbol, ...sections])).toEqual([
      ['G', 'Verse'],
      ['C', 'Verse'],
      ['Am7', 'Verse'],
    ]);
  });

  it('has strokes for every written bar of a section with a pattern', () => {
    const section = chart.sections.find(({ name }) => name === 'Chorus')!;
    const strokes = sectionStrokes(chart, section);
    expect(strokes).toHaveLength(section.bars.length);
    expect(strokes.every((bar) => bar.length > 0)).toBe(true);
  });

  it('has the ladders that were set, or suggested ones; a box per clean pass', async () => {
    const giving = { at: '2031-04-01T10:00:00Z', by: '', newId: () => 'a', due: '2031-05-01' };
    const nobody = { desk: OWN_DESK, assignments: [], ask: asking([]), asOf: DAY };
    const assignments = assign(chart, [units[1]!], giving);
    const [set] = await laddersOf(chart, { ...nobody, assignments });
    expect(set).toMatchObject({ name: units[1]!.name, due: '2031-05-01', boxes: 2 });
    expect(set!.rungs.at(-1)).toBe(set!.rules.target);
    expect(set!.owned.kind).toBe('not-enough');
    expect((await laddersOf(chart, nobody)).map(({ name }) => name)).toContain('Chorus');
  });

  it('says the tempo that is owned, as every other room does', async () => {
    const unit = units.find(({ name }) => name === 'Chorus')!;
    const { name, fingerprint } = unit;
    const played = {
      chart: { id: chart.id, title: chart.title },
      unit: { key: `section:${name}`, name, fingerprint },
    };
    const bpms = [80, 80, 84, 84, 88, 88, -92, 92, -96, -96, -100];
    const passes = passesOf(`${DAY}T09:00:00Z`, bpms, played);
    const player = { desk: OWN_DESK, assignments: [], ask: asking(passes), asOf: DAY };
    const ladders = await laddersOf(chart, player);
    const { rules, owned } = ladders.find((ladder) => ladder.name === name)!;
    const asked = { beat: rules.beat, target: rules.target, asOf: DAY };
    expect(owned.evidence.passes).toBe(bpms.length - 1);
    expect(owned).toEqual(standingOf({ ...asked, passes }).owned);
  });
});

describe('an assignment being filled in', () => {
  const [unit] = units;
  const base = suggestRules(unit!);

  it('asks for nothing that was left empty', () => {
    const terms = termsOf(draftFor(unit!), base);
    expect(terms).toEqual({ rules: base, note: '' });
  });

  it('starts no higher than the target', () => {
    const { rules } = termsOf({ ...draftFor(unit!), target: 40, start: 50 }, base);
    expect(rules).toMatchObject({ start: 40, target: 40 });
  });

  it('gives every unit of a chart its own share of its own tempo', () => {
    const rules = wholeChartRules(
      draftFor(unit!),
      { ...unit!, tempo: { bpm: 100, beat: 'quarter' } },
      90,
    );
    expect(rules.target).toBe(90);
    expect(rules.start).toBeLessThan(90);
  });
});

describe('candidatesOf', () => {
  const own = (more: Partial<Student> = {}): Student => ({
    id: OWN_DESK,
    name: '',
    since: '2031-03-01T09:00:00Z',
    assignments: [],
    comments: [],
    ...more,
  });
  const giving = { at: '2031-04-01T10:00:00Z', by: '', newId: () => crypto.randomUUID() };
  const playedUnit = (at: string, index = 0) =>
    pass(at, {
      chart: { id: chart.id, title: chart.title },
      unit: {
        key: units[index]!.key,
        name: units[index]!.name,
        fingerprint: units[index]!.fingerprint,
      },
    });

  const seek = async (of: Student, charts: readonly Chart[], passes: readonly PassRecord[]) => {
    const ask = asking(passes);
    return candidatesOf(of, { charts, units: await ask('log.units', {}), ask, asOf: DAY });
  };

  it('offers what is set and what was played in the last weeks, each once', async () => {
    const assignments = assign(chart, units.slice(0, 2), giving);
    const passes = [
      playedUnit('2031-01-01T09:00:00Z', 3), // too long ago
      playedUnit('2031-04-01T09:00:00Z', 0), // set as well
      playedUnit('2031-04-02T09:00:00Z', 2),
    ];
    const { found, lost } = await seek(own({ assignments }), [chart], passes);
    expect(found.map(({ unit }) => unit.key)).toEqual([0, 1, 2].map((i) => units[i]!.key));
    expect(found.map(({ assignment }) => assignment !== undefined)).toEqual([true, true, false]);
    expect(lost).toEqual([]);
  });

  it('plans a unit set twice once, by the assignment that is due first', async () => {
    const later = assign(chart, units.slice(0, 1), { ...giving, due: '2031-06-01' });
    const sooner = assign(chart, units.slice(0, 1), { ...giving, due: '2031-05-01' });
    const assignments = [...later, ...sooner];
    const { found, standings } = await seek(own({ assignments }), [chart], []);
    expect(found.map(({ assignment }) => assignment!.terms.due)).toEqual(['2031-05-01']);
    expect(standings.size).toBe(2);
  });

  it('follows bars to their new name, and begins anew where bars were changed', async () => {
    const [first] = chart.sections;
    const renamed = {
      ...chart,
      sections: chart.sections.map((one) => (one === first ? { ...one, name: 'Opening' } : one)),
      form: [],
    };
    const passes = [playedUnit('2031-04-04T09:00:00Z', 0)];
    const [moved] = (await seek(own(), [renamed], passes)).found;
    expect(moved!.unit.key).toBe('section:Opening');
    expect(moved!.standing).toMatchObject({ daysSince: 1 });

    const edited = {
      ...chart,
      sections: chart.sections.map((one) =>
        one === first ? { ...one, bars: one.bars.slice(0, 2) } : one,
      ),
    };
    const [changed] = (await seek(own(), [edited], passes)).found;
    expect(changed).toMatchObject({ changed: true });
    expect(changed!.standing.lastPractised).toBeUndefined();
    expect(reasonsFor(changed!).map(({ kind }) => kind)).toEqual(['changed']);
  });

  it('says what became of an assignment whose section or chart is gone', async () => {
    const assignments = assign(chart, units.slice(0, 1), giving);
    const without = { ...chart, sections: chart.sections.slice(1), form: [] };
    const { found, lost } = await seek(own({ assignments }), [without], []);
    expect(found).toEqual([]);
    expect(lost).toHaveLength(1);
    const gone = await seek(own({ assignments }), [], []);
    expect(gone.lost[0]!.why).toBe('Its chart is not in your library.');
  });
});
