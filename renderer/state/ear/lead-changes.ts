// A lead's notes as the log keeps changes: each note is the change to it from the note before.
import { liftOf } from '../../../app/core/fretboard/capo.ts';
import type { LeadHeard } from '../../../app/core/ear/lead/model.ts';
import type { LeadNote } from '../../../app/core/model/lead.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { spellNear } from '../../../app/core/harmony/notes.ts';
import type { LeadMoment } from '../../../app/core/timeline/lead.ts';
import type { Midi } from '../../../app/core/base/units.ts';

/** In the order of `moments`, which are those the lead was judged against; notes by the names that are fingered. */
export function changesOfLead(
  unit: Pick<Unit, 'capo' | 'tuning'>,
  moments: readonly LeadMoment[],
  { notes }: LeadHeard,
): readonly ChangeHeard[] {
  const lift = liftOf(unit);
  const due = namingNotes(moments);
  return notes.map((note, change): ChangeHeard => {
    const { bar, offset, timing, pitch, heard, confidence } = note;
    return {
      bar,
      change,
      from: nameOf(due[change - 1]),
      to: nameOf(due[change]),
      ...(offset !== undefined && { offset }),
      timing,
      chord: pitch === 'wrong' ? 'other' : pitch,
      ...(heard !== undefined && { heard: noteName(heard - lift) }),
      confidence,
    };
  });
}

/** By which each moment is named: that of the first string where several are struck together. */
export const namingNotes = (moments: readonly LeadMoment[]): readonly LeadNote[] =>
  moments.map(({ notes }) => notes[0]!);

/** "string 3, fret 7"; '' at the start of the lead. */
function nameOf(note: LeadNote | undefined): string {
  if (!note) return '';
  return `string ${note.string}, ${note.fret === 'muted' ? 'muted' : `fret ${note.fret}`}`;
}

/** With its octave, middle C being C4. */
const noteName = (midi: Midi): string => `${spellNear(midi % 12)}${Math.floor(midi / 12) - 1}`;
