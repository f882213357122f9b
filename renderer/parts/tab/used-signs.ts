// Which signs of the tab some lead lines use, so that a sheet explains no others.
import type { Lead, LeadEvent, LeadNote } from '../../../app/core/model/lead.ts';

export const TAB_SIGNS = {
  'hammer-on': ['H ⌒', 'hammer-on: the second note is not picked'],
  'pull-off': ['P ⌒', 'pull-off: the second note is not picked'],
  slide: ['╱ ╲', 'slide up or down on the string'],
  bend: ['↑ ½ 1 1½', 'bend by half a step, one, or one and a half; coming down: released'],
  vibrato: ['∿', 'vibrato'],
  muted: ['×', 'muted: the string clicks without a pitch'],
  ring: ['7)', 'let ring'],
  grace: ['small number', 'grace note, just before the beat'],
  hold: ['‿', 'held: do not strike again'],
} as const;
export type TabSign = keyof typeof TAB_SIGNS;

/** Signs that written parts use; those of derived parts are the same. */
export function usedSigns(leads: readonly Lead[]): ReadonlySet<TabSign> {
  const events = leads
    .flatMap(({ parts }) => parts)
    .flatMap((part) => (part.kind === 'written' ? part.bars : []))
    .flatMap((bar) => bar.events);
  return new Set(events.flatMap(signsOf));
}

function signsOf(event: LeadEvent): readonly TabSign[] {
  switch (event.kind) {
    case 'hold':
      return ['hold'];
    case 'rest':
      return [];
    case 'notes':
      return event.notes.flatMap(signsOfNote);
  }
}

function signsOfNote({ fret, reach, grace, bend, vibrato, ring }: LeadNote): readonly TabSign[] {
  return [
    ...joining(reach),
    ...(grace ? (['grace', ...joining(grace.into)] as const) : []),
    ...(bend ? (['bend'] as const) : []),
    ...(vibrato ? (['vibrato'] as const) : []),
    ...(ring ? (['ring'] as const) : []),
    ...(fret === 'muted' ? (['muted'] as const) : []),
  ];
}

function joining(reach: LeadNote['reach']): readonly TabSign[] {
  switch (reach) {
    case 'picked':
      return [];
    case 'slide-up':
    case 'slide-down':
      return ['slide'];
    default:
      return [reach];
  }
}
