// Starts today's plan with one key: the queue takes its lines in their order and begins. On a day without lines, what comes next.
import type { PlanLine } from '../../../app/core/progress/today.ts';
import type { World } from '../../state/world.ts';

/** Call it from a key or click, since sound may begin. A sitting that is on goes on. */
export function startPlan(
  { queue, router, firstSound }: Pick<World, 'queue' | 'router' | 'firstSound'>,
  lines: readonly PlanLine[],
): void {
  if (queue.active) return router.go('climb');
  queue.clear();
  for (const { candidate, minutes } of lines) {
    const { chart, unit } = candidate;
    // Its ladder is made when its turn comes: from what was set, begun just under what is owned by then.
    queue.add({ chart, unit, minutes });
  }
  firstSound.before(() => {
    router.go('climb');
    void queue.begin();
  });
}

/** Call it from a key or click, since sound may begin. */
export async function startOnward({
  dayPlan,
  ladderSetup,
  router,
  firstSound,
  stage,
}: Pick<World, 'dayPlan' | 'ladderSetup' | 'router' | 'firstSound' | 'stage'>): Promise<void> {
  const { onward } = dayPlan;
  if (!onward) return;
  await ladderSetup.load();
  await ladderSetup.choose(onward.chart.id, onward.unit.key);
  firstSound.before(() => {
    router.go('climb', onward.chart.id, onward.unit.key);
    stage.enter();
  });
}
