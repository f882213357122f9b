// What is said about archives and copies, in the words of everyday.
import { OWN_DESK, type Student } from '../../../../app/core/progress/assignment.ts';
import type { BroughtIn, DocumentsBeside } from '../../../../app/services/contract/archives.ts';
import { counted } from '../../../page/words.ts';
import type { Busy } from '../../../state/archive/archive.svelte.ts';

/** What is going on, as long as it lasts. */
export const busyWords = (what: Busy['what']): string =>
  ({
    saving: 'Everything is being packed …',
    reading: 'The file is being read …',
    bringing: 'It is being brought in …',
  })[what];

/** "3 charts, 40 passes and 2 settings, ladders or students". */
export function broughtWords({ charts, passes, documents, recordings }: BroughtIn): string {
  const parts = [
    charts > 0 ? counted(charts, 'chart') : '',
    passes > 0 ? counted(passes, 'pass', 'passes') : '',
    documents > 0 ? `${documents} of settings, ladders and students` : '',
    recordings > 0 ? counted(recordings, 'recording') : '',
  ].filter(Boolean);
  return parts.length > 0 ? parts.join(', ') : 'nothing that was not here already';
}

/** " of Ada", behind what came from a student's desk; '' for one's own. @param student none where they were removed */
export const whoseWords = (desk: string, student: Pick<Student, 'name'> | undefined): string =>
  desk === OWN_DESK ? '' : ` of ${student?.name ?? 'a student'}`;

/** "2 new, 1 here with another content"; '' where there is nothing to take. */
export const besideWords = ({ fresh, other }: DocumentsBeside): string =>
  [fresh > 0 ? `${fresh} new here` : '', other > 0 ? `${other} unlike those here` : '']
    .filter(Boolean)
    .join(', ');
