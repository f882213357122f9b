// Reads tablature parts as lead lines: every note must say its string and fret (W3C MusicXML 4.0, technical).
import { equals, type Rational, sum } from '../../../base/rational.ts';
import type { Problem } from '../../../base/result.ts';
import {
  type Bend,
  type Grace,
  type NoteValue,
  type LeadBar,
  type LeadEvent,
  type LeadNote,
  type Reach,
  valueLength,
} from '../../../model/lead.ts';
import { isName } from '../../../chart/rules/names.ts';
import type { PlayedLead } from '../../../model/unit.ts';
import type { LeadPartName } from '../../../timeline/lead.ts';
import { valueOf, valueOfLength, valuesFor } from '../note-values.ts';
import { quartersOf } from './quarters.ts';
import type { SheetBar } from '../sheet.ts';
import { type XmlNode, childAt, childrenOf, numberAt, textAt } from '../xml-read.ts';
import { notesIn, signsOf } from './notes.ts';

export interface LeadsRead {
  readonly bars: readonly SheetBar[];
  readonly warnings: readonly Problem[];
}

/** Adds what the tablature parts play to the bars of the sheet; the part with the chords may be one of them. */
export function readLeads(root: XmlNode, bars: readonly SheetBar[]): LeadsRead {
  const leads: PlayedLead[][] = bars.map(() => []);
  const warnings: Problem[] = [];
  const taken = new Set<string>();
  childrenOf(root, 'part').forEach((part, index) => {
    const staff = tablatureStaff(part);
    if (staff === undefined) return;
    const name = freeName(partNameOf(root, part, index), taken);
    const reader = new StaffReader(bars, staff);
    childrenOf(part, 'measure').forEach((measure, i) => {
      const bar = bars[i] && reader.readMeasure(measure, i);
      if (bar) leads[i]!.push({ ...name, bar });
    });
    if (reader.unfit.length > 0) warnings.push(unfitWarning(name, reader.unfit));
  });
  return {
    bars: bars.map((bar, i) => (leads[i]!.length > 0 ? { ...bar, leads: leads[i]! } : bar)),
    warnings,
  };
}

const unfitWarning = ({ lead, part }: LeadPartName, bars: readonly number[]): Problem => ({
  code: 'musicxml-lead',
  message: `‘${lead}’, ${part}: bar ${bars[0]! + 1}${bars.length > 1 ? ` and ${bars.length - 1} more` : ''} cannot be kept as a lead line`,
  cure: 'Lead lines have one voice, values down to sixteenths and triplets, and a string and fret for each note.',
});

/** Does any note of the part say its string and fret? */
export const isTablature = (part: XmlNode): boolean => tablatureStaff(part) !== undefined;

/** The lowest staff of a part whose notes say string and fret: tablature stands under the notes. */
function tablatureStaff(part: XmlNode): string | undefined {
  const staves = new Set<string>();
  for (const note of notesIn(part)) if (placeOf(note)) staves.add(staffOf(note));
  return [...staves].toSorted().at(-1);
}

const staffOf = (note: XmlNode): string => textAt(note, 'staff') ?? '1';

/** "Hook: Guitar 1" is the lead and its part; any other name is that of the lead. */
function partNameOf(root: XmlNode, part: XmlNode, index: number): LeadPartName {
  const listed = childAt(root, 'part-list')?.children.find(
    ({ attributes }) => attributes.id !== undefined && attributes.id === part.attributes.id,
  );
  const [lead, name] = (textAt(listed, 'part-name') ?? '').split(':').map((text) => text.trim());
  return {
    lead: lead && isName(lead) ? lead : `Line ${index + 1}`,
    part: name && isName(name) ? name : 'Guitar',
  };
}

function freeName({ lead, part }: LeadPartName, taken: Set<string>): LeadPartName {
  for (let n = 1; ; n++) {
    const name = { lead, part: n === 1 ? part : `${part.slice(0, 34)} ${n}` };
    const key = `${name.lead}:${name.part}`;
    if (taken.has(key)) continue;
    taken.add(key);
    return name;
  }
}

interface StaffPlace {
  readonly string: number;
  readonly fret: number;
}

function placeOf(note: XmlNode): StaffPlace | undefined {
  const signs = signsOf(note, 'technical');
  if (signs.length === 0) return undefined;
  const read = (name: string): number | undefined => {
    const sign = signs.find((s) => s.name === name);
    return sign && /^\d{1,2}$/.test(sign.text) ? Number(sign.text) : undefined;
  };
  const [string, fret] = [read('string'), read('fret')];
  return string === undefined || fret === undefined ? undefined : { string, fret };
}

/** Reads one staff measure by measure; what leads from one note to the next goes across bar lines. */
class StaffReader {
  /** Indexes of bars that a lead line cannot hold. */
  readonly unfit: number[] = [];
  private readonly bars: readonly SheetBar[];
  private readonly fretOn = new Map<number, number>();
  private divisions = 1;
  private grace?: StaffPlace & { readonly note: XmlNode };

  private readonly staff: string;

  constructor(bars: readonly SheetBar[], staff: string) {
    this.bars = bars;
    this.staff = staff;
  }

  /** Undefined for a bar of rests, and for one that does not fit, which is noted. */
  readMeasure(measure: XmlNode, index: number): LeadBar | undefined {
    const events: LeadEvent[] = [];
    for (const child of measure.children) {
      if (child.name === 'attributes')
        this.divisions = numberAt(child, 'divisions') ?? this.divisions;
      // What follows a backup is another voice, or the staff that is looked for.
      if (child.name === 'backup' && events.length > 0) break;
      if (child.name !== 'note' && child.name !== 'forward') continue;
      if (staffOf(child) !== this.staff) continue;
      if (!this.readNote(child, events)) return this.leaveOut(index);
    }
    if (events.every((event) => event.kind === 'rest')) return undefined;
    const length = sum(events.map((event) => valueLength(event.value)));
    return equals(length, this.bars[index]!.length) ? { events } : this.leaveOut(index);
  }

  private leaveOut(index: number): undefined {
    this.unfit.push(index);
    return undefined;
  }

  /** False where the note is none that a lead line has. */
  private readNote(node: XmlNode, events: LeadEvent[]): boolean {
    const place = placeOf(node);
    if (childAt(node, 'grace')) {
      if (place) this.grace = { ...place, note: node };
      return place !== undefined;
    }
    const duration = quartersOf(numberAt(node, 'duration') ?? 0, this.divisions);
    if (node.name === 'forward' || childAt(node, 'rest')) return this.rest(duration, node, events);
    const value = valueOf(node) ?? valueOfLength(duration);
    if (!place || !value || !equals(valueLength(value), duration)) return false;
    if (childAt(node, 'chord')) return this.addToChord(node, place, events);
    if (childrenOf(node, 'tie').some((tie) => tie.attributes.type === 'stop')) {
      events.push({ kind: 'hold', value });
    } else events.push({ kind: 'notes', value, notes: [this.noteOf(node, place)] });
    return true;
  }

  private rest(duration: Rational, node: XmlNode, events: LeadEvent[]): boolean {
    const value: NoteValue | undefined = valueOf(node);
    const values = value && equals(valueLength(value), duration) ? [value] : valuesFor(duration);
    events.push(...(values ?? []).map((v): LeadEvent => ({ kind: 'rest', value: v })));
    return values !== undefined;
  }

  private addToChord(node: XmlNode, place: StaffPlace, events: LeadEvent[]): boolean {
    const last = events.pop();
    if (!last || last.kind === 'rest') return false;
    const added =
      last.kind === 'hold' ? last : { ...last, notes: [...last.notes, this.noteOf(node, place)] };
    events.push(added);
    return true;
  }

  private noteOf(node: XmlNode, { string, fret }: StaffPlace): LeadNote {
    const muted = textAt(node, 'notehead') === 'x';
    const grace = this.takeGrace(string, fret);
    const reach = grace ? 'picked' : this.reachOf(node, this.fretOn.get(string), fret);
    const bend = bendOf(node);
    this.fretOn.set(string, fret);
    const notations = childrenOf(node, 'notations');
    const vibrato = notations.some((n) => childAt(n, 'ornaments', 'wavy-line'));
    const ring = notations.some((n) =>
      childrenOf(n, 'tied').some((tied) => tied.attributes.type === 'let-ring'),
    );
    return {
      string,
      fret: muted ? 'muted' : fret,
      reach,
      ...(grace && { grace }),
      ...(bend && { bend }),
      ...(vibrato && { vibrato: true as const }),
      ...(ring && { ring: true as const }),
    };
  }

  private takeGrace(string: number, fret: number): Grace | undefined {
    const grace = this.grace;
    if (!grace || grace.string !== string) return undefined;
    this.grace = undefined;
    const into = jointOf(grace.note, 'start', grace.fret, fret);
    return into ? { fret: grace.fret, into } : undefined;
  }

  private reachOf(node: XmlNode, from: number | undefined, to: number): Reach {
    return (from === undefined ? undefined : jointOf(node, 'stop', from, to)) ?? 'picked';
  }
}

/** The joint that starts or stops at a note; slides go the way of their frets. */
function jointOf(
  note: XmlNode,
  type: 'start' | 'stop',
  from: number,
  to: number,
): Exclude<Reach, 'picked'> | undefined {
  const has = (sign: XmlNode): boolean => sign.attributes.type === type;
  const technical = signsOf(note, 'technical').find(
    (sign) => has(sign) && (sign.name === 'hammer-on' || sign.name === 'pull-off'),
  );
  if (technical) return technical.name as 'hammer-on' | 'pull-off';
  const slides = childrenOf(note, 'notations').flatMap((n) => childrenOf(n, 'slide'));
  if (from === to || !slides.some(has)) return undefined;
  return to > from ? 'slide-up' : 'slide-down';
}

/** Half, whole and one and a half steps; a second, downward bend is the release of the first. */
function bendOf(note: XmlNode): Bend | undefined {
  const bends = signsOf(note, 'technical').filter((sign) => sign.name === 'bend');
  const up = bends.map((bend) => numberAt(bend, 'bend-alter')).find((alter) => (alter ?? 0) > 0);
  const semitones = ([1, 2, 3] as const).find((steps) => steps === up);
  if (!semitones) return undefined;
  return { semitones, release: bends.some((bend) => childAt(bend, 'release') !== undefined) };
}
