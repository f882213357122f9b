// Starts today's plan with one key: the queue takes its lines in their order and begins.
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
    const { chart, unit, assignment } = candidate;
    const rules = assignment?.terms.rules;
    queue.add({ chart, unit, minutes, ...(rules && { rules }) });
  }
  firstSound.before(() => {
    router.go('climb');
    void queue.begin();
  });
}
