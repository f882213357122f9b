// A lead line's notes as the log keeps changes: each note is the change to it from the note before.
import type { LeadHeard } from '../../../app/core/ear/lead/model.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import { spellNear } from '../../../app/core/harmony/notes.ts';
import type { LeadMoment } from '../../../app/core/timeline/lead.ts';
import type { Midi } from '../../../app/core/base/units.ts';

/** In the order of `moments`, which are those the line was judged against. */
export function changesOfLead(
  moments: readonly LeadMoment[],
  { notes }: LeadHeard,
): readonly ChangeHeard[] {
  return notes.map((note, change): ChangeHeard => {
    const { bar, offset, timing, pitch, heard, confidence } = note;
    return {
      bar,
      change,
      from: nameOf(moments[change - 1]),
      to: nameOf(moments[change]),
      ...(offset !== undefined && { offset }),
      timing,
      chord: pitch === 'wrong' ? 'other' : pitch,
      ...(heard !== undefined && { heard: noteName(heard) }),
      confidence,
    };
  });
}

/** "string 3, fret 7", of the first string where several are struck together; '' at the start of the line. */
function nameOf(moment: LeadMoment | undefined): string {
  const note = moment?.notes[0];
  if (!note) return '';
  return `string ${note.string}, ${note.fret === 'muted' ? 'muted' : `fret ${note.fret}`}`;
}

/** With its octave, middle C being C4. */
const noteName = (midi: Midi): string => `${spellNear(midi % 12)}${Math.floor(midi / 12) - 1}`;
