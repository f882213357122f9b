// The button and the key of the drill go by one rule: what the one offers, the other does.
import { beforeEach, expect, it, vi } from 'vitest';
import { demoCharts } from '../../../../../app/services/machine/demo-charts.ts';
import { resolveUnit } from '../../../../../app/core/units/resolve.ts';
import { unwrap } from '../../../../../app/core/base/result.ts';
import { fakeServices } from '../../../../support/fake-services.ts';
import type { ClimbSetup } from '../../../../../renderer/state/climb/surroundings.ts';
import { fakeMemory } from '../../../../support/fake-memory.ts';
import { composeWorld } from '../../../../../renderer/shell/compose.ts';
import { Stage } from '../../../../../renderer/state/stage/stage.svelte.ts';
import type { World } from '../../../../../renderer/state/world.ts';
import { FakePlayer, Stage as Setting } from './stage.ts';

const chart = demoCharts().find(({ id }) => id === 'demo-copper-staircase')!;
const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'Verse' }));
const weakest = { bar: 2, change: 2, from: 'Bm', to: 'F#m', heard: 5, broke: 4, how: 'late' };

let world: World;
let stage: Stage;

const said = () => world.messages.remarks.at(-1)?.text;

async function climb(setup: Partial<ClimbSetup> = {}): Promise<void> {
  const { id, title } = chart;
  const setting = new Setting({ setup: { chart: { id, title }, unit, ...setup } });
  await setting.climb.go();
  stage.climb = setting.climb;
}

beforeEach(async () => {
  vi.stubGlobal('requestAnimationFrame', () => 0);
  vi.stubGlobal('cancelAnimationFrame', () => {});
  vi.stubGlobal('document', { addEventListener: () => {}, removeEventListener: () => {} });
  world = composeWorld(fakeServices({ charts: [chart] }), fakeMemory());
  stage = new Stage({
    ...world,
    sound: { open: async () => new FakePlayer() },
    hearing: { of: () => ({ weakest }) as never, attend: async () => {}, forget: () => {} },
  });
  await Promise.all([world.library.load(), world.settings.load()]);
  await world.library.open(chart.id);
});

it('offers the weakest change of a climb, and the key drills it', async () => {
  await climb();
  expect(stage.weakest).toMatchObject({ from: 'Bm', to: 'F#m' });
  await stage.steered()!.drill!();
  expect(stage.climb?.setup.unit.key).toBe('pair:Bm:F#m');
  expect(stage.waiting?.setup.unit.key).toBe(unit.key);
  expect(stage.weakest).toBeUndefined();
});

it('offers none in a turn of a queue, and the key says why it does nothing', async () => {
  await climb({ turn: true });
  const before = stage.climb;
  expect(stage.weakest).toBeUndefined();
  await stage.steered()!.drill!();
  expect([stage.climb, stage.waiting]).toEqual([before, undefined]);
  expect(said()).toMatch(/^A turn of the queue is not left for a drill/);
});

it('a drill that answered a miss is taken back by undo, and the question stands again', async () => {
  await climb();
  const missed = stage.climb!;
  // The question after a miss, as the reducer would put it.
  const place = { bar: 2, change: 1, from: 'Bm', to: 'F#m' };
  const detour = { kind: 'drill', place, bpm: 60, seconds: 45 } as const;
  vi.spyOn(missed, 'undo');
  stage.waiting = missed;
  stage.climb = new Setting({ setup: { ...missed.setup, detour: detour.kind } }).climb;
  expect(stage.undoable).toBe(true);
  stage.undo();
  expect(stage.climb).toBe(missed);
  expect(missed.undo).toHaveBeenCalledOnce();
});
