// The easiest way to play a lead line: the cheapest path of grips, by dynamic programming over the hand
// position. Along and across the neck are costs of their own (Sayegh 1989, Computer Music Journal 13(3):
// fingering as an optimum path; Heijink & Meulenbroek 2002 measured the two apart in guitarists).
import type { LeadBar, LeadNote } from '../model/lead.ts';
import type { PitchedBar, PitchedEvent, PitchedNote } from './pitched.ts';
import { fail, ok, type Result } from '../base/result.ts';
import type { Finger, Fret, Millimetres } from '../base/units.ts';
import { stringOffset, tipTable } from '../fretboard/geometry.ts';
import { gripsOf, type Grip, type LeadNeck } from './places.ts';

/** Relative costs; ours, tuned by hand on scales and arpeggios. No published constants fit chord or line changes. */
const COST = {
  /** Per millimetre that the hand moves along the neck. */
  along: 0.02,
  /** Every move of the hand, however short. */
  shift: 0.6,
  /** Per millimetre from string to string. */
  across: 0.015,
  /** A slide carries the hand: its way costs this share. */
  slideShare: 0.4,
  /** Per note and fret that the hand lies above this fret: the spaces narrow and the body is in the way. */
  high: { above: 7, each: 0.02 },
  /** The same finger on another string at once after (rolling). */
  roll: 0.25,
  /** Per note on each finger: the fourth is the weakest, and bends want the third (common practice, no source). */
  finger: [0, 0, 0.02, 0.12],
  bend: [0.8, 0.3, 0, 0.4],
} as const;

/** What a fingering asks of the hand; the cost is their weighted sum, and relative. */
export interface FingeringCost {
  readonly total: number;
  readonly shifts: number;
  readonly along: Millimetres;
  readonly across: Millimetres;
}

export interface FingeredLead {
  readonly bars: readonly LeadBar[];
  /** Left-hand fingers in the same order as the notes: bar → event → note; open and muted have none. */
  readonly fingers: readonly (readonly (readonly (Finger | undefined)[])[])[];
  readonly cost: FingeringCost;
}

interface Node {
  readonly grip: Grip;
  readonly hand: Fret;
  readonly cost: FingeringCost;
  readonly before?: Node;
}

type Struck = Extract<PitchedEvent, { kind: 'notes' }>;

/**
 * The cheapest fingering for each place where the first notes can be taken, cheapest first (1–`most`).
 * Fails, naming part, bar and entry, where a pitch lies outside the neck or a technique finds no string.
 */
export function fingerings(
  bars: readonly PitchedBar[],
  neck: LeadNeck,
  part: string,
  most = 4,
): Result<FingeredLead[]> {
  const struck = strikes(bars);
  const grips: Grip[][] = [];
  for (const { event, bar, entry } of struck) {
    const found = gripsOf(event.notes, neck);
    if (found.length === 0)
      return fail(unplayable(part, bar, entry, 'lies outside this neck and tuning'));
    grips.push(found);
  }
  const starts = Map.groupBy(grips[0] ?? [], placeKey);
  const paths = [...starts.values()].flatMap((start) => {
    const end = cheapestPath(
      struck.map((s) => s.event),
      [start, ...grips.slice(1)],
      neck,
    );
    return 'stuckAt' in end ? [] : [end];
  });
  if (struck.length > 0 && paths.length === 0) {
    const end = cheapestPath(
      struck.map((s) => s.event),
      grips,
      neck,
    );
    const stuck = struck['stuckAt' in end ? end.stuckAt : 0]!;
    return fail(
      unplayable(
        part,
        stuck.bar,
        stuck.entry,
        'cannot be reached on one string from the note before',
      ),
    );
  }
  paths.sort((a, b) => a.cost.total - b.cost.total);
  return ok(paths.slice(0, most).map((end) => writeOut(bars, end)));
}

function strikes(bars: readonly PitchedBar[]): { event: Struck; bar: number; entry: number }[] {
  return bars.flatMap((bar, b) =>
    bar.events.flatMap((event, e) =>
      event.kind === 'notes' ? [{ event, bar: b + 1, entry: e + 1 }] : [],
    ),
  );
}

const placeKey = (grip: Grip): string =>
  grip.places.map((place) => `${place.string}:${place.fret}`).join(' ');

function cheapestPath(
  events: readonly Struck[],
  grips: readonly Grip[][],
  neck: LeadNeck,
): Node | { readonly stuckAt: number } {
  let layer = firstNodes(grips[0] ?? [], events[0], neck);
  for (let i = 1; i < grips.length; i++) {
    layer = nextNodes(layer, grips[i]!, events[i]!, neck);
    if (layer.length === 0) return { stuckAt: i };
  }
  return layer.reduce((best, node) => (node.cost.total < best.cost.total ? node : best));
}

function firstNodes(grips: readonly Grip[], event: Struck | undefined, neck: LeadNeck): Node[] {
  if (!event) return [];
  return grips.flatMap((grip) => {
    const total = stillCost(grip, grip.hand === 'free' ? undefined : grip.hand, event.notes);
    const cost = { total, shifts: 0, along: 0, across: 0 };
    // Before any fretted note the hand may wait anywhere.
    const hands =
      grip.hand === 'free' ? Array.from({ length: neck.frets }, (_, i) => i + 1) : [grip.hand];
    return hands.map((hand) => ({ grip, hand, cost }));
  });
}

/** For each grip and hand, the cheapest way there; grips on open strings leave every hand where it was. */
function nextNodes(
  layer: readonly Node[],
  grips: readonly Grip[],
  event: Struck,
  neck: LeadNeck,
): Node[] {
  return grips.flatMap((grip) => {
    const sources = layer.filter((node) => bindsHold(node.grip, grip, event.notes));
    if (grip.hand === 'free')
      return sources.map((node) => step(node, targetOf(grip, node.hand, event.notes, neck), neck));
    if (sources.length === 0) return [];
    const target = targetOf(grip, grip.hand, event.notes, neck);
    let [best, least] = [sources[0]!, Infinity];
    for (const node of sources) {
      const { total } = moved(node, target, neck);
      if (total < least) [best, least] = [node, total];
    }
    return [step(best, target, neck)];
  });
}

/** Where the hand goes, and what that costs wherever it comes from. */
interface Target {
  readonly grip: Grip;
  readonly hand: Fret;
  readonly along: Millimetres;
  readonly across: Millimetres;
  readonly slides: boolean;
  readonly still: number;
}

function targetOf(grip: Grip, hand: Fret, notes: readonly PitchedNote[], neck: LeadNeck): Target {
  const along = tipTable(neck)[hand]!;
  return {
    ...{ grip, hand, along },
    across: stringOffset(meanString(grip), along, neck),
    slides: notes.some((note) => note.reach.startsWith('slide')),
    still: stillCost(grip, grip.hand === 'free' ? undefined : hand, notes),
  };
}

/** A hammer-on, pull-off or slide stays on the string it comes from. */
const bindsHold = (before: Grip, grip: Grip, notes: readonly PitchedNote[]): boolean =>
  notes.every(
    (note, i) =>
      note.reachedFrom === undefined ||
      before.places[note.reachedFrom]?.string === grip.places[i]!.string,
  );

function step(node: Node, target: Target, neck: LeadNeck): Node {
  const { total, along, across } = moved(node, target, neck);
  const { grip, hand } = target;
  const cost = {
    total,
    shifts: node.cost.shifts + (hand === node.hand ? 0 : 1),
    along: node.cost.along + along,
    across: node.cost.across + across,
  };
  return { grip, hand, cost, before: node };
}

/** The cost of all that leads there by this node, and the way from it. */
function moved(node: Node, target: Target, neck: LeadNeck) {
  const { grip, hand, slides, still } = target;
  const along = Math.abs(target.along - tipTable(neck)[node.hand]!);
  const across = Math.abs(target.across - stringOffset(meanString(node.grip), target.along, neck));
  const shift = hand === node.hand ? 0 : COST.shift + COST.along * along;
  const total =
    node.cost.total +
    shift * (slides ? COST.slideShare : 1) +
    COST.across * across +
    rollCost(node, grip, hand) +
    still;
  return { total, along, across };
}

const meanString = (grip: Grip): number =>
  grip.places.reduce((sum, place) => sum + place.string, 0) / grip.places.length;

function rollCost(node: Node, grip: Grip, hand: Fret): number {
  const rolls = grip.places.some(
    (place) =>
      place.fret !== 'muted' &&
      place.fret > 0 &&
      node.hand === hand &&
      node.grip.places.some((old) => old.fret === place.fret && old.string !== place.string),
  );
  return rolls ? COST.roll : 0;
}

function stillCost(grip: Grip, hand: Fret | undefined, notes: readonly PitchedNote[]): number {
  if (hand === undefined) return 0;
  return grip.places.reduce((sum, place, i) => {
    if (place.fret === 'muted' || place.fret === 0) return sum;
    const finger = place.fret - hand;
    const high = COST.high.each * Math.max(0, hand - COST.high.above);
    return sum + high + COST.finger[finger]! + (notes[i]!.bend ? COST.bend[finger]! : 0);
  }, 0);
}

function writeOut(bars: readonly PitchedBar[], end: Node): FingeredLead {
  const nodes: Node[] = [];
  for (let node: Node | undefined = end; node; node = node.before) nodes.unshift(node);
  let next = 0;
  const fingers: (Finger | undefined)[][][] = [];
  const written = bars.map((bar): LeadBar => {
    const barFingers: (Finger | undefined)[][] = [];
    fingers.push(barFingers);
    const events = bar.events.map((event) => {
      if (event.kind !== 'notes') {
        barFingers.push([]);
        return event;
      }
      const node = nodes[next++]!;
      barFingers.push(node.grip.places.map((place) => fingerAt(place.fret, node.hand)));
      return { ...event, notes: event.notes.map((note, i) => writeNote(note, node.grip, i)) };
    });
    return { events };
  });
  return { bars: written, fingers, cost: end.cost };
}

function writeNote(note: PitchedNote, grip: Grip, index: number): LeadNote {
  const place = grip.places[index]!;
  return {
    string: place.string,
    fret: place.fret,
    reach: note.reach,
    ...(note.grace && { grace: { fret: place.graceFret!, into: note.grace.into } }),
    ...(note.bend && { bend: note.bend }),
    ...(note.vibrato && { vibrato: note.vibrato }),
    ...(note.ring && { ring: note.ring }),
  };
}

function fingerAt(fret: Fret | 'muted', hand: Fret): Finger | undefined {
  return fret === 'muted' || fret === 0 ? undefined : ((fret - hand + 1) as Finger);
}

const unplayable = (part: string, bar: number, entry: number, why: string) => ({
  code: 'lead-unplayable',
  message: `${part}, bar ${bar}, entry ${entry} ${why}`,
  cure: 'Move the line by an octave, choose another tuning, or write this note differently.',
});
