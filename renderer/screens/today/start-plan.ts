// Starts a plan with one key: its first line is set up to be climbed.
import type { PlanLine } from '../../../app/core/progress/today.ts';
import { router } from '../../state/router.svelte.ts';

export function startPlan(lines: readonly PlanLine[]): void {
  const [first] = lines;
  if (first) router.go('climb', first.candidate.chart.id, first.candidate.unit.key);
}
