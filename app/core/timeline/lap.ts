// Unit + tempo + options → one lap: every event at an exact place, in seconds by one multiplication.
import type { Chord } from '../model/chord.ts';
import type { Unit } from '../model/unit.ts';
import { type Rational, compare } from '../base/rational.ts';
import type { Bpm } from '../base/units.ts';
import { layOutBars } from './bars.ts';
import { type TimedBar, endOf } from './timed-bars.ts';
import { changesAndCues } from './changes.ts';
import { type Untimed, beatsInBar, clicksOf, gapBars } from './clicks.ts';
import type { Lap, LapBar, LapEvent, LapOptions } from './model.ts';
import { tempoMap } from './tempo-map.ts';

/**
 * One lap of the unit at `bpm` of the unit's own beat. Tempo marks inside the unit scale in proportion.
 * @throws RangeError when the unit has no bars or bpm is not above 0.
 */
export function buildLap(unit: Unit, bpm: Bpm, options: LapOptions): Lap {
  const bars = layOutBars(unit, bpm, options);
  const secondsAt = tempoMap(bars);
  const events = eventsOf(bars, options).map((e): LapEvent => ({ ...e, seconds: secondsAt(e.at) }));
  const lapBars = lapBarsOf(bars);
  const inUnit = bars.filter((bar) => bar.part === 'unit');
  const opening = openingChord(unit);
  return {
    bpm,
    timbre: options.timbre ?? 'wood',
    events,
    changes: events.filter((event) => event.kind === 'change'),
    beats: events.filter(isBeat).map((event) => event.seconds),
    bars: lapBars,
    ...(opening === undefined ? {} : { opening }),
    unitStart: inUnit[0]!.seconds,
    unitEnd: secondsAt(endOf(inUnit.at(-1)!)),
    end: secondsAt(endOf(bars.at(-1)!)),
  };
}

const isBeat = (event: LapEvent): boolean => event.kind === 'bar' || event.kind === 'beat';

function openingChord(unit: Unit): Chord | undefined {
  const first = unit.bars[0]!;
  return first.chords[0]?.at.n === 0 ? undefined : first.held;
}

function eventsOf(bars: readonly TimedBar[], options: LapOptions): readonly Untimed[] {
  const gaps = gapBars(bars, options.click);
  const enters = bars.findIndex((bar) => bar.part === 'unit') - 1;
  const clicks = bars.flatMap((bar, i) =>
    clicksOf(bar, i, options, { gap: gaps.has(i), entrance: i === enters }),
  );
  const { changes, cues } = changesAndCues(bars, options.cueBeats);
  const mayMark = marksAllowed(clicks, gaps, options);
  const marks = [...cues, ...changes].map((mark): Untimed => {
    const wanted = mark.kind === 'cue' || options.markChanges;
    return { ...mark, audible: wanted && mayMark(mark) };
  });
  return [...clicks, ...marks].filter((e) => isBefore(e, bars)).sort(inOrder);
}

/** A displaced click may not spill over the end of the lap. */
const isBefore = (event: Untimed, bars: readonly TimedBar[]): boolean =>
  compare(event.at, endOf(bars.at(-1)!)) < 0;

/** Changes and cues sound only where the click pattern leaves them nothing to give away. */
function marksAllowed(
  clicks: readonly Untimed[],
  gaps: ReadonlySet<number>,
  { click }: LapOptions,
): (mark: Untimed) => boolean {
  switch (click.kind) {
    case 'every-beat':
      return () => true;
    case 'gaps':
    case 'growing-gaps':
      return (mark) => !gaps.has(mark.bar);
    case 'displaced':
      return () => false;
    case 'two-and-four':
    case 'off-beats':
    case 'bar-starts': {
      const sounding = new Set(clicks.filter((c) => c.audible).map((c) => keyOf(c.at)));
      return (mark) => sounding.has(keyOf(mark.at));
    }
  }
}

const keyOf = (at: Rational): string => `${at.n}/${at.d}`;

const ORDER = ['bar', 'beat', 'subdivision', 'cue', 'change'] as const;

const inOrder = (a: Untimed, b: Untimed): number =>
  compare(a.at, b.at) || ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind);

function lapBarsOf(bars: readonly TimedBar[]): readonly LapBar[] {
  let beatIndex = 0;
  return bars.map((bar) => {
    const beats = beatsInBar(bar);
    const { part, unitBar, meter, at, seconds, length, quarter, pace } = bar;
    const lapBar: LapBar = {
      part,
      ...(unitBar === undefined ? {} : { unitBar }),
      meter,
      at,
      seconds,
      length,
      beats: beats.length,
      firstBeat: beats[0]?.number ?? 1,
      beatIndex,
      quarter,
      ...(pace && { pace }),
    };
    beatIndex += beats.length;
    return lapBar;
  });
}
