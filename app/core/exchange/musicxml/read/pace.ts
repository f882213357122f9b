// Reads tempo and feel from directions and sounds (W3C MusicXML 4.0, metronome, sound and swing).
import { beatUnitLength, usualBeatUnit } from '../../../rhythm/meter.ts';
import type { Feel, Meter, Tempo } from '../../../model/chart.ts';
import { parseFeel } from '../../../chart/notation/fields.ts';
import { checkFeel, checkTempo } from '../../../chart/rules/head.ts';
import { toNumber } from '../../../base/rational.ts';
import { type XmlNode, childAt, childrenOf, numberAt, textAt } from '../xml-read.ts';

/** Quarter notes of the units that a metronome mark may count. */
const UNITS: ReadonlyMap<string, number> = new Map([
  ['breve', 8],
  ['whole', 4],
  ['half', 2],
  ['quarter', 1],
  ['eighth', 1 / 2],
  ['16th', 1 / 4],
]);

/**
 * A metronome mark, else a sound's tempo in quarters a minute. 'unfit' is out of 20–400, 'unclear' a
 * mark that only compares note values.
 */
export function tempoOf(node: XmlNode, meter: Meter): Tempo | 'unfit' | 'unclear' | undefined {
  const marks = childrenOf(node, 'direction-type').flatMap((type) => childrenOf(type, 'metronome'));
  const tempo =
    marks.map((mark) => tempoOfMark(mark, meter)).find((t) => t) ?? tempoOfSound(node, meter);
  if (tempo) return checkTempo(tempo).ok ? tempo : 'unfit';
  return marks.some((mark) => !swingOfMark(mark)) ? 'unclear' : undefined;
}

/** Numbers such as "c. 96" or "92-96" count as the first that they name. */
function tempoOfMark(mark: XmlNode, meter: Meter): Tempo | undefined {
  const unit = textAt(mark, 'beat-unit') ?? '';
  const bpm = Number(
    /\d{1,4}(?:\.\d{1,4})?/.exec(textAt(mark, 'per-minute') ?? '')?.[0] ?? Number.NaN,
  );
  const dots = childrenOf(mark, 'beat-unit-dot').length;
  if (Number.isNaN(bpm)) return undefined;
  if ((unit === 'half' || unit === 'quarter' || unit === 'eighth') && dots <= 1)
    return { bpm: hundredths(bpm), beat: dots === 1 ? `dotted-${unit}` : unit };
  const length = UNITS.get(unit);
  return length === undefined ? undefined : counted(bpm * length * (2 - 0.5 ** dots), meter);
}

function tempoOfSound(node: XmlNode, meter: Meter): Tempo | undefined {
  const sound = node.name === 'sound' ? node : childAt(node, 'sound');
  const quarters = Number(sound?.attributes.tempo ?? Number.NaN);
  return Number.isFinite(quarters) ? counted(quarters, meter) : undefined;
}

/** In the note that the meter counts, where that gives a number of at most two decimals. */
function counted(quarters: number, meter: Meter): Tempo {
  const beat = usualBeatUnit(meter);
  const bpm = quarters / toNumber(beatUnitLength(beat));
  const exact = Math.abs(hundredths(bpm) - bpm) < 1e-6;
  return exact ? { bpm: hundredths(bpm), beat } : { bpm: hundredths(quarters), beat: 'quarter' };
}

const hundredths = (bpm: number): number => Math.round(bpm * 100) / 100;

/** What a sound says of swing, else a mark that sets even notes equal to long and short ones. */
export function feelOf(node: XmlNode): Feel | undefined {
  const sound = node.name === 'sound' ? node : childAt(node, 'sound');
  const swing = childAt(sound, 'swing');
  if (swing) return childAt(swing, 'straight') ? STRAIGHT : swungAs(swing);
  const marks = childrenOf(node, 'direction-type').flatMap((type) => childrenOf(type, 'metronome'));
  return marks.map(swingOfMark).find((feel) => feel);
}

const STRAIGHT: Feel = { kind: 'straight' };
const LONGEST_PART = 16;

/** Ratios such as 60:40 or 67:33 become the nearest in small whole numbers. */
function swungAs(swing: XmlNode): Feel {
  const [first, second] = [numberAt(swing, 'first') ?? 0, numberAt(swing, 'second') ?? 0];
  const value = textAt(swing, 'swing-type') === '16th' ? 16 : 8;
  const parts = Array.from({ length: LONGEST_PART }, (_, i) => i + 1);
  const ratios = parts.flatMap((long) => parts.map((short) => ({ long, short })));
  const error = ({ long, short }: { long: number; short: number }): number =>
    Math.abs(long / (long + short) - first / (first + second)) + (long + short) * 2e-4;
  const exact = ratios.find(({ long, short }) => long * second === short * first);
  const { long, short } = exact ?? ratios.toSorted((a, b) => error(a) - error(b))[0]!;
  const feel: Feel = { kind: 'swing', value, long, short };
  return first > 0 && second > 0 && checkFeel(feel).ok ? feel : STRAIGHT;
}

/** Two even notes = a long and a short one in a triplet: the usual drawing of swing (common practice, no source). */
function swingOfMark(mark: XmlNode): Feel | undefined {
  const types = childrenOf(mark, 'metronome-note').map((note) => textAt(note, 'metronome-type'));
  const isTriplet = childrenOf(mark, 'metronome-note').some(
    (note) => numberAt(note, 'metronome-tuplet', 'actual-notes') === 3,
  );
  if (!isTriplet) return undefined;
  const drawn = types.join(' ');
  if (drawn === 'eighth eighth quarter eighth')
    return { kind: 'swing', value: 8, long: 2, short: 1 };
  return drawn === '16th 16th eighth 16th'
    ? { kind: 'swing', value: 16, long: 2, short: 1 }
    : undefined;
}

/** Our own words, and those of the trade, which mean a triplet feel (common practice, no source). */
export function feelOfWords(words: string): Feel | undefined {
  const own = parseFeel(words);
  if (own.ok) return own.value;
  const plain = words.trim().toLowerCase();
  if (/^(?:(?:slow|medium|fast|light) )?(?:swing|shuffle)(?: feel| eighths| 8ths)?$/.test(plain))
    return { kind: 'swing', value: 8, long: 2, short: 1 };
  return /^straight (?:feel|eighths|8ths)$/.test(plain) ? STRAIGHT : undefined;
}

/** Straight where pairs of the feel would cross the beats of the meter. */
export const withMeter = (feel: Feel, meter: Meter): Feel =>
  feel.kind === 'swing' && meter.unit * 2 > feel.value ? STRAIGHT : feel;
