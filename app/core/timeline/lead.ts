// When each note of a lead line sounds: the moments of one part over the bars of a lap.
import { valueLength, type LeadEvent, type LeadNote } from '../model/lead.ts';
import { stringPitch } from '../harmony/tunings.ts';
import type { PlayedLead, Unit } from '../model/unit.ts';
import { type Rational, add, ZERO } from '../base/rational.ts';
import type { Bpm, Midi, Seconds } from '../base/units.ts';
import { BARE_LAP } from './bare-lap.ts';
import { layOutBars } from './bars.ts';
import { type TimedBar, inLap } from './timed-bars.ts';
import { soundsAt } from './clicks.ts';
import type { LapOptions } from './model.ts';
import { tempoMap } from './tempo-map.ts';

export interface PlayedLeadNote extends LeadNote {
  /** Before any bend; absent for a muted note. */
  readonly pitch?: Midi;
}

/** Notes struck together, from where they start to where the next entry, rest or end of the lead stops them. */
export interface LeadMoment {
  /** Index into the unit's bars, and entry of that bar from 1, as problems name them. */
  readonly bar: number;
  readonly entry: number;
  /** Quarter notes from the start of the lap, swing applied. */
  readonly at: Rational;
  /** Seconds from the start of the lap. */
  readonly seconds: Seconds;
  readonly until: Seconds;
  readonly notes: readonly PlayedLeadNote[];
}

/** Names one part of a lead line within its section. */
export type LeadPartName = Pick<PlayedLead, 'lead' | 'part'>;

/**
 * The moments of one part of a lead in a lap of the unit. Triplets are even in every feel; eighths and
 * sixteenths swing with the bar (common practice, no source). Empty if the unit does not play the part.
 * @throws RangeError as `layOutBars` does.
 */
export function leadMoments(
  unit: Unit,
  bpm: Bpm,
  options: Pick<LapOptions, 'countIn' | 'restBars'>,
  part: LeadPartName,
): readonly LeadMoment[] {
  const bars = layOutBars(unit, bpm, { ...BARE_LAP, ...options });
  const secondsAt = tempoMap(bars);
  const open = unit.tuning.strings.map((pitch) => pitch + unit.capo);
  const moments: LeadMoment[] = [];
  for (const { bar, event, entry, from, to } of eventsOf(bars, part)) {
    const until = secondsAt(to);
    const last = moments.at(-1);
    if (event.kind === 'hold' && last) moments[moments.length - 1] = { ...last, until };
    if (event.kind !== 'notes') continue;
    const notes = event.notes.map((note) => withPitch(note, open));
    moments.push({ bar: bar.unitBar!, entry, at: from, seconds: secondsAt(from), until, notes });
  }
  return moments;
}

interface PlacedEvent {
  readonly bar: TimedBar;
  readonly event: LeadEvent;
  readonly entry: number;
  readonly from: Rational;
  readonly to: Rational;
}

function eventsOf(bars: readonly TimedBar[], part: LeadPartName): PlacedEvent[] {
  return bars.flatMap((bar) => {
    const played = bar.played?.leads?.find(
      (other) => other.lead === part.lead && other.part === part.part,
    );
    let at = ZERO;
    return (played?.bar.events ?? []).map((event, i) => {
      const from = at;
      at = add(at, valueLength(event.value));
      const place = (written: Rational): Rational => placeOf(bar, written, event);
      return { bar, event, entry: i + 1, from: place(from), to: place(at) };
    });
  });
}

function placeOf(bar: TimedBar, written: Rational, event: LeadEvent): Rational {
  const atMeter = add(bar.offset, written);
  return event.value.shape === 'triplet' ? inLap(bar, atMeter) : soundsAt(bar, atMeter);
}

const withPitch = (note: LeadNote, open: readonly Midi[]): PlayedLeadNote =>
  note.fret === 'muted' ? note : { ...note, pitch: stringPitch(open, note.string, note.fret) };
