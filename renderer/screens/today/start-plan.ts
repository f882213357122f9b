// Starts today's plan with one key: the queue takes its lines in their order and begins.
import type { PlanLine } from '../../../app/core/progress/today.ts';
import { firstSound } from '../../state/sound/first-sound.svelte.ts';
import { practiceQueue } from '../../state/climb/practice.svelte.ts';
import { router } from '../../shell/router.svelte.ts';

/** Call it from a key or click, since sound may begin. A sitting that is on goes on. */
export function startPlan(lines: readonly PlanLine[]): void {
  if (practiceQueue.active) return router.go('climb');
  practiceQueue.clear();
  for (const { candidate, minutes } of lines) {
    const { chart, unit, assignment } = candidate;
    const rules = assignment?.terms.rules;
    practiceQueue.add({ chart, unit, minutes, ...(rules && { rules }) });
  }
  firstSound.before(() => {
    router.go('climb');
    void practiceQueue.begin();
  });
}
