// The few phrases of desk, plan and preview.
import type { AssignmentChange } from '../../../app/core/exchange/task-sheet-merge.ts';
import type { IsoDate } from '../../../app/core/units.ts';

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

const spoken = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'short',
  year: 'numeric',
  timeZone: 'UTC',
});

/** 2031-04-05 → "5 Apr 2031". */
export const dateWords = (date: IsoDate): string => spoken.format(new Date(`${date}T00:00:00Z`));
