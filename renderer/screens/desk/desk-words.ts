// The few phrases of desk, plan and preview.
import type { AssignmentChange } from '../../../app/core/exchange/desk/task-sheet-merge.ts';

/** "changed: target 100 → 110". */
export function changeWords(change: AssignmentChange): string {
  switch (change.kind) {
    case 'new':
      return 'new';
    case 'changed':
      return `changed (${change.differences.join('; ')})`;
    case 'withdrawn':
      return 'taken back';
    case 'same':
      return 'as it is';
    case 'older':
      return 'older than yours';
  }
}
