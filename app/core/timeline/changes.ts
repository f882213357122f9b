// The chord changes of a lap and the cues before them.
import { beatsOf } from '../rhythm/meter.ts';
import { type Rational, add, compare, div, mul, sub } from '../base/rational.ts';
import { type TimedBar, inLap } from './timed-bars.ts';
import { type Untimed, beatsInBar, soundsAt } from './clicks.ts';
import { lastAtOrBefore } from './search.ts';

/** A change with its written place beside where it sounds, both from the start of the lap. */
interface WrittenChange {
  readonly event: Untimed;
  readonly written: Rational;
}

/** A beat of the lap, placed in quarter notes from its start. */
interface LapBeat {
  readonly bar: number;
  readonly number: number;
  readonly atMeter: Rational;
  readonly at: Rational;
  readonly length: Rational;
}

/** All changes of the unit, and a cue `cueBeats` before each where there is room for one. */
export function changesAndCues(
  bars: readonly TimedBar[],
  cueBeats: number,
): { readonly changes: readonly Untimed[]; readonly cues: readonly Untimed[] } {
  const written = writtenChanges(bars);
  const changes = written.map(({ event }) => event);
  if (cueBeats === 0) return { changes, cues: [] };
  const beats = beatsOfLap(bars);
  const cues = written.flatMap((change, i) => {
    const cue = cueBefore(bars, beats, change, cueBeats);
    const roomFrom = written[i - 1]?.event.at;
    const room = cue && (!roomFrom || compare(cue.at, roomFrom) > 0);
    return room && !startsUnit(bars, change) ? [cue] : [];
  });
  return { changes, cues };
}

function writtenChanges(bars: readonly TimedBar[]): readonly WrittenChange[] {
  let from = bars.find((bar) => bar.part === 'unit')?.played?.held;
  return bars.flatMap((bar, index) =>
    (bar.played?.chords ?? []).map(({ chord, at }): WrittenChange => {
      const atMeter = add(bar.offset, at);
      const event: Untimed = {
        kind: 'change',
        part: bar.part,
        at: soundsAt(bar, atMeter),
        bar: index,
        beat: beatsOf(bar.meter).filter((beat) => compare(beat.at, atMeter) <= 0).length,
        audible: true,
        chord,
        ...(from === undefined ? {} : { from }),
      };
      from = chord;
      return { event, written: inLap(bar, atMeter) };
    }),
  );
}

function beatsOfLap(bars: readonly TimedBar[]): readonly LapBeat[] {
  return bars.flatMap((bar, index) =>
    beatsInBar(bar).map(({ number, at, length }) => {
      return { bar: index, number, atMeter: at, at: inLap(bar, at), length };
    }),
  );
}

/** The count-in itself announces the first chord. */
const startsUnit = (bars: readonly TimedBar[], { written }: WrittenChange): boolean =>
  compare(written, bars.find((bar) => bar.part === 'unit')!.at) === 0;

/** As many beats before the change as asked, at the same share of the beat; none before the lap's start. */
function cueBefore(
  bars: readonly TimedBar[],
  beats: readonly LapBeat[],
  { event, written }: WrittenChange,
  cueBeats: number,
): Untimed | undefined {
  const i = lastAtOrBefore(beats, (beat) => compare(beat.at, written));
  const beat = beats[i];
  const cueBeat = beats[i - cueBeats];
  if (!beat || !cueBeat) return undefined;
  const share = div(sub(written, beat.at), beat.length);
  const bar = bars[cueBeat.bar]!;
  const at = soundsAt(bar, add(cueBeat.atMeter, mul(cueBeat.length, share)));
  return { ...event, kind: 'cue', part: bar.part, at, bar: cueBeat.bar, beat: cueBeat.number };
}
