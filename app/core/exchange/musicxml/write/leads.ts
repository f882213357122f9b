// Writes the parts of lead lines as tablature staves with their techniques (W3C MusicXML 4.0, technical).
import { Note } from 'tonal';
import { ZERO, add, mul, rational, toNumber } from '../../../base/rational.ts';
import { printMeter } from '../../../rhythm/meter.ts';
import {
  type LeadBar,
  type LeadEvent,
  type LeadNote,
  type Reach,
  valueLength,
} from '../../../model/lead.ts';
import type { Midi } from '../../../base/units.ts';
import { keyElements, timeElement, tuningElements } from './attributes.ts';
import { type Beamed, beamsOf, beatAt, flagsOf } from './beams.ts';
import { leftBarline, rightBarline } from '../barlines.ts';
import { measuresOf } from './measures.ts';
import { restOfBar } from './pieces.ts';
import { valueElements } from '../note-values.ts';
import type { Sheet, SheetBar } from '../sheet.ts';
import { type XmlElement, element } from '../xml-write.ts';

/** One staff: a part of a lead, wherever the sheet has it. */
export interface LeadStaff {
  readonly lead: string;
  readonly part: string;
}

/** Whole for every note value from triplet sixteenths to dotted ones. */
const DIVISIONS = 24;

/** The staves that a sheet needs, in the order in which they first play. */
export function leadStaves(sheet: Sheet): readonly LeadStaff[] {
  const staves = new Map<string, LeadStaff>();
  for (const { lead, part } of sheet.bars.flatMap((bar) => bar.leads ?? [])) {
    staves.set(staffName({ lead, part }), { lead, part });
  }
  return [...staves.values()];
}

/** Neither name has a colon, so the two are told apart again. */
export const staffName = ({ lead, part }: LeadStaff): string => `${lead}: ${part}`;

/** One staff as tablature, bar by bar; rests where its part is silent. */
export function leadMeasures(sheet: Sheet, staff: LeadStaff): readonly XmlElement[] {
  const open = sheet.tuning.strings.map((midi) => midi + sheet.capo);
  const moments = momentsOf(sheet.bars, staff);
  return measuresOf(sheet, (index) => {
    const bar = sheet.bars[index]!;
    return [
      ...leftBarline(bar),
      ...attributes(sheet, index),
      ...(moments[index] ? barElements(moments[index], bar, open) : restOfBar(bar, DIVISIONS)),
      ...rightBarline(sheet.bars, index),
    ];
  });
}

function attributes(sheet: Sheet, index: number): XmlElement[] {
  const bar = sheet.bars[index]!;
  const before = sheet.bars[index - 1];
  if (before && printMeter(before.meter) === printMeter(bar.meter)) return [];
  const staff = element('staff-details', [
    element('staff-lines', sheet.tuning.strings.length),
    ...tuningElements(sheet.tuning),
    ...(sheet.capo === 0 ? [] : [element('capo', sheet.capo)]),
  ]);
  const clef = element('clef', [element('sign', 'TAB'), element('line', 5)]);
  return [
    element('attributes', [
      ...(before ? [] : [element('divisions', DIVISIONS), ...keyElements(sheet.key)]),
      timeElement(bar.meter),
      ...(before ? [] : [clef, staff]),
    ]),
  ];
}

/** A note as it sounds, with what leads out of it and whether it goes on. */
interface StaffNote {
  readonly note: LeadNote;
  leads?: Exclude<Reach, 'picked'>;
  ties: boolean;
}

interface Moment {
  readonly event: LeadEvent;
  readonly notes: readonly StaffNote[];
  /** Do the notes come over from the moment before? */
  readonly held: boolean;
}

/** Every bar's moments, with ties and slurred notes known on both sides; undefined where the staff rests. */
function momentsOf(
  bars: readonly SheetBar[],
  { lead, part }: LeadStaff,
): readonly (readonly Moment[] | undefined)[] {
  const tracker = new Tracker();
  return bars.map(({ leads }) => {
    const played = leads?.find((one) => one.lead === lead && one.part === part);
    return played && tracker.momentsIn(played.bar);
  });
}

/** Knows the note that sounded last on each string, so that what follows can mark it. */
class Tracker {
  private sounding: readonly StaffNote[] = [];
  private readonly byString = new Map<number, StaffNote>();

  momentsIn(bar: LeadBar): readonly Moment[] {
    return bar.events.map((event) => this.next(event));
  }

  private next(event: LeadEvent): Moment {
    switch (event.kind) {
      case 'rest':
        this.sounding = [];
        this.byString.clear();
        return { event, notes: [], held: false };
      case 'hold':
        for (const note of this.sounding) note.ties = true;
        return this.sound(
          event,
          this.sounding.map(({ note }) => ({ note, ties: false })),
          true,
        );
      case 'notes':
        return this.sound(
          event,
          event.notes.map((note) => this.strike(note)),
          false,
        );
    }
  }

  private strike(note: LeadNote): StaffNote {
    const before = this.byString.get(note.string);
    if (note.reach !== 'picked' && before) before.leads = note.reach;
    return { note, ties: false };
  }

  private sound(event: LeadEvent, notes: readonly StaffNote[], held: boolean): Moment {
    this.sounding = notes;
    for (const note of notes) this.byString.set(note.note.string, note);
    return { event, notes, held };
  }
}

function barElements(
  moments: readonly Moment[],
  bar: SheetBar,
  open: readonly Midi[],
): readonly XmlElement[] {
  let at = ZERO;
  const beamed = moments.map(({ event, notes }): Beamed => {
    const beat = beatAt(bar, at);
    at = add(at, valueLength(event.value));
    return { beat, flags: notes.length > 0 ? flagsOf(event.value) : 0 };
  });
  const beams = beamsOf(beamed);
  return moments.flatMap((moment, i) => momentElements(moment, beams[i]!, open));
}

function momentElements(
  { event, notes, held }: Moment,
  beams: readonly XmlElement[],
  open: readonly Midi[],
): XmlElement[] {
  const duration = element(
    'duration',
    toNumber(mul(valueLength(event.value), rational(DIVISIONS))),
  );
  if (notes.length === 0) {
    return [
      element('note', [
        element('rest'),
        duration,
        element('voice', 1),
        ...valueElements(event.value),
      ]),
    ];
  }
  const graces = held ? [] : notes.flatMap(({ note }) => graceElement(note, open));
  const struck = notes.map((note, i) =>
    element('note', [
      ...(i === 0 ? [] : [element('chord')]),
      pitchElement(note.note, open),
      duration,
      ...(held ? [element('tie', [], { type: 'stop' })] : []),
      ...(note.ties ? [element('tie', [], { type: 'start' })] : []),
      element('voice', 1),
      ...valueElements(event.value),
      ...(note.note.fret === 'muted' ? [element('notehead', 'x')] : []),
      ...(i === 0 ? beams : []),
      notations(note, held),
    ]),
  );
  return [...graces, ...struck];
}

const fretOf = ({ fret }: LeadNote): number => (fret === 'muted' ? 0 : fret);

/** A muted note is written at its open string, with a crossed head. */
function pitchElement(note: Pick<LeadNote, 'string' | 'fret'>, open: readonly Midi[]): XmlElement {
  const midi = open[open.length - note.string]! + (note.fret === 'muted' ? 0 : note.fret);
  const { letter, alt, oct } = Note.get(Note.fromMidiSharps(midi));
  return element('pitch', [
    element('step', letter),
    ...(alt === 0 ? [] : [element('alter', alt)]),
    element('octave', oct ?? 0),
  ]);
}

function graceElement(note: LeadNote, open: readonly Midi[]): XmlElement[] {
  if (!note.grace) return [];
  const { fret, into } = note.grace;
  const { technical, slide } = joint(into, 'start');
  return [
    element('note', [
      element('grace', [], { slash: 'yes' }),
      pitchElement({ string: note.string, fret }, open),
      element('voice', 1),
      element('type', '16th'),
      element('notations', [
        ...slide,
        element('technical', [element('string', note.string), element('fret', fret), ...technical]),
      ]),
    ]),
  ];
}

/** Ties, slides, then string, fret and the joints, then vibrato; a held note only says where it is. */
function notations(staffNote: StaffNote, held: boolean): XmlElement {
  const { note, leads, ties } = staffNote;
  const arrives = held
    ? undefined
    : (note.grace?.into ?? (note.reach === 'picked' ? undefined : note.reach));
  const joints = [
    ...(arrives ? [joint(arrives, 'stop')] : []),
    ...(leads ? [joint(leads, 'start')] : []),
  ];
  return element('notations', [
    ...(held ? [element('tied', [], { type: 'stop' })] : []),
    ...(ties ? [element('tied', [], { type: 'start' })] : []),
    ...(note.ring && !held ? [element('tied', [], { type: 'let-ring' })] : []),
    ...joints.flatMap(({ slide }) => slide),
    ...(note.vibrato && !held ? [VIBRATO] : []),
    element('technical', [
      element('string', note.string),
      element('fret', fretOf(note)),
      ...joints.flatMap(({ technical }) => technical),
      ...(note.bend && !held ? bendElements(note.bend) : []),
    ]),
  ]);
}

const VIBRATO = element('ornaments', [
  element('wavy-line', [], { type: 'start' }),
  element('wavy-line', [], { type: 'stop' }),
]);

/** The two ends of a technique that joins notes: slides are lines, the others technical signs. */
function joint(
  reach: Exclude<Reach, 'picked'>,
  type: 'start' | 'stop',
): { technical: readonly XmlElement[]; slide: readonly XmlElement[] } {
  if (reach === 'slide-up' || reach === 'slide-down') {
    return { technical: [], slide: [element('slide', [], { type, 'line-type': 'solid' })] };
  }
  const sign = reach === 'hammer-on' ? 'H' : 'P';
  return { technical: [element(reach, type === 'start' ? sign : [], { type })], slide: [] };
}

/** A release is a bend of its own, downward (the standard's rule). */
const bendElements = ({ semitones, release }: NonNullable<LeadNote['bend']>): XmlElement[] => [
  element('bend', [element('bend-alter', semitones)]),
  ...(release ? [element('bend', [element('bend-alter', -semitones), element('release')])] : []),
];
