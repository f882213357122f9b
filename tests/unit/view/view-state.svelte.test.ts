// The state behind the Charts and Climb rooms, against a machine side in memory.
import { beforeEach, describe, expect, test } from 'vitest';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { loggedBar } from '../../../app/core/units/bars/logged-bars.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import type { LogEntry } from '../../../app/core/model/pass.ts';
import { fakeMemory } from '../../support/fake-memory.ts';
import { composeWorld } from '../../../renderer/shell/compose.ts';
import { USUAL_OPTIONS } from '../../../renderer/state/climb/ladder-setup.svelte.ts';
import type { World } from '../../../renderer/state/world.ts';
import { fakeServices } from '../../support/fake-services.ts';
import { soon } from '../../support/soon.ts';

const COPPER = 'demo-copper-staircase';
let fake: ReturnType<typeof fakeServices>;
let library: World['library'];
let ladderSetup: World['ladderSetup'];
let messages: World['messages'];
let settings: World['settings'];

beforeEach(async () => {
  fake = fakeServices({ charts: demoCharts() });
  ({ library, ladderSetup, messages, settings } = composeWorld(fake, fakeMemory()));
  await settings.load();
  await library.load();
});

const passFor = ({ key, name, fingerprint, bars }: Unit, n: number): LogEntry => ({
  kind: 'pass',
  unit: { fingerprint, bars: bars.map(loggedBar) },
  pass: {
    id: `p${n}`,
    at: `2021-04-05T18:${String(n).padStart(2, '0')}:00.000+00:00`,
    session: 's',
    climb: 'c',
    chart: { id: COPPER, title: 'Copper Staircase' },
    unit: { key, name, fingerprint },
    rung: { bpm: 120, beat: 'quarter', index: 0, of: 5, target: 170 },
    verdict: 'clean',
    source: 'self',
    cold: false,
    duration: 10,
  },
});

describe('the library', () => {
  test('a deleted chart can be brought back from the remark that says so', async () => {
    const chart = (await library.open(COPPER))!;
    await library.remove(chart);
    expect(library.find(COPPER)).toBeUndefined();
    const remark = messages.remarks.at(-1)!;
    expect(remark.text).toBe('‘Copper Staircase’ was deleted. Its log stays.');
    remark.action?.run();
    await soon(() => expect(library.find(COPPER)).toEqual(chart));
  });

  test('a copy has an identity and a title of its own', async () => {
    const chart = (await library.open(COPPER))!;
    const first = await library.duplicate(chart.id);
    const second = await library.duplicate(chart.id);
    expect([first?.title, second?.title]).toEqual([
      'Copper Staircase (copy)',
      'Copper Staircase (copy) 2',
    ]);
    expect(new Set([chart.id, first?.id, second?.id]).size).toBe(3);
  });
});

describe('the set-up of a climb', () => {
  test('it points at the first section of the first chart when nothing is asked for', async () => {
    await ladderSetup.load();
    await ladderSetup.choose(undefined, undefined);
    expect(ladderSetup.chartId).toBe(library.charts[0]?.id);
    expect(ladderSetup.unitKey).toBe('section:Verse');
    expect(ladderSetup.rungs).toMatchObject({ ok: true });
    await ladderSetup.choose('demo-low-tide-lanterns', undefined);
    // The suggested start is 33 dotted beats a minute: too slow to keep without clicks between.
    expect(ladderSetup.options).toEqual({ ...USUAL_OPTIONS, subdivision: 3 });
  });

  test('it comes back to what was chosen here, else to what the log ends with and is still there', async () => {
    const chart = (await library.open(COPPER))!;
    const verse = unwrap(resolveUnit(chart, { kind: 'section', section: 'Verse' }));
    fake.logged.push(passFor(verse, 1), passFor({ ...verse, key: 'section:Gone' }, 2));
    const fresh = ladderSetup;
    await fresh.load();
    await fresh.choose(undefined, undefined);
    expect([fresh.chartId, fresh.unitKey]).toEqual([COPPER, 'section:Verse']);
    expect(fresh.options).toEqual(USUAL_OPTIONS);
    await fresh.choose(COPPER, 'section:Bridge');
    await fresh.choose(undefined, undefined);
    expect(fresh.unitKey).toBe('section:Bridge');
  });

  test('what is pressed before the log has answered about a choice means that choice', async () => {
    await ladderSetup.load();
    await ladderSetup.choose(COPPER, 'section:Verse');
    const begun: string[] = [];
    const begin = () => ladderSetup.whenChosen(() => void begun.push(ladderSetup.unitKey));
    begin();
    expect(begun).toEqual(['section:Verse']);
    const first = ladderSetup.choose(COPPER, 'section:Lift');
    const second = ladderSetup.choose(COPPER, 'section:Bridge');
    begin();
    expect(begun).toHaveLength(1);
    await Promise.all([first, second]);
    expect(begun).toEqual(['section:Verse', 'section:Bridge']);
    begin();
    expect(begun).toEqual(['section:Verse', 'section:Bridge', 'section:Bridge']);
  });

  test('an unknown unit is a problem in words, not a ladder', async () => {
    await ladderSetup.load();
    await ladderSetup.choose(COPPER, 'section:Nowhere');
    expect(ladderSetup.unit).toMatchObject({ ok: false });
    expect(ladderSetup.rules).toBeUndefined();
  });

  test('the ladder last used for a unit comes back; suggesting again puts it aside', async () => {
    await ladderSetup.load();
    await ladderSetup.choose(COPPER, 'section:Verse');
    const suggested = ladderSetup.rules;
    ladderSetup.change({ start: 77, cleanToClimb: 5 });
    ladderSetup.changeOptions({ countIn: 'two' });
    await ladderSetup.keep();
    await ladderSetup.choose(COPPER, 'section:Bridge');
    expect(ladderSetup.rules?.cleanToClimb).not.toBe(5);
    await ladderSetup.choose(COPPER, 'section:Verse');
    expect(ladderSetup.rules).toMatchObject({ start: 77, cleanToClimb: 5 });
    expect(ladderSetup.options.countIn).toBe('two');
    ladderSetup.suggest(false);
    expect(ladderSetup.rules).toEqual(suggested);
  });

  test('a start above the target is named', async () => {
    await ladderSetup.load();
    await ladderSetup.choose(COPPER, 'section:Verse');
    ladderSetup.change({ start: 200, target: 100 });
    expect(ladderSetup.rungs).toMatchObject({ ok: false });
    expect(ladderSetup.problems).toHaveLength(1);
  });

  test('the first pass of a day is a cold one; passes of other days do not warm it', async () => {
    const chart = (await library.open(COPPER))!;
    const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'Verse' }));
    fake.logged.push(passFor(unit, 1), passFor(unit, 2));
    await ladderSetup.load();
    await ladderSetup.choose(COPPER, 'section:Verse');
    const verse = unwrap(resolveUnit(chart, { kind: 'section', section: 'Verse' }));
    expect(ladderSetup.countsOf(verse)).toBeUndefined(); // ten years ago
    expect(ladderSetup.cold).toBe(true);
  });
});

test.each([
  ['its name', (c: Chart) => rename(c, 'Strophe'), 'section:Strophe', 2, 'moved'],
  ['its bars', (c: Chart) => cut(c), 'section:Verse', 0, 'changed'],
] as const)('a verse whose chart was edited in %s', async (_what, edit, key, passes, kind) => {
  const chart = (await library.open(COPPER))!;
  const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'Verse' }));
  for (const n of [1, 2]) fake.logged.push(passFor(unit, n));
  await library.save(edit(chart));
  await ladderSetup.load();
  await ladderSetup.choose(COPPER, 'section:Verse');
  expect(ladderSetup.became?.kind).toBe(kind);
  await ladderSetup.choose(COPPER, key);
  expect(ladderSetup.owned?.evidence.passes).toBe(passes);
});

const rename = (chart: Chart, name: string): Chart => ({
  ...chart,
  sections: chart.sections.map((s) => (s.name === 'Verse' ? { ...s, name } : s)),
  form: chart.form.map((e) => (e.section === 'Verse' ? { ...e, section: name } : e)),
});

const cut = (chart: Chart): Chart => ({
  ...chart,
  sections: chart.sections.map((s) =>
    s.name === 'Verse' ? { ...s, bars: s.bars.slice(0, 4) } : s,
  ),
});

test('settings are shown at once and kept; words of care are marked once', async () => {
  await settings.write({ theme: 'dark' });
  expect(settings.now.theme).toBe('dark');
  await settings.markShown('care');
  await settings.markShown('care');
  expect(settings.now.shown.filter((name) => name === 'care')).toHaveLength(1);
});
