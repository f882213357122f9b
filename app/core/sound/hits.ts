// Which voices are heard when several events of a lap share a moment.
import type { Rational } from '../base/rational.ts';
import type { Lap, LapEvent } from '../timeline/model.ts';
import type { Seconds } from '../base/units.ts';
import {
  type ClickTimbre,
  type ClickVoice,
  MARK_VOICES,
  PULSE_VOICES,
} from '../timeline/click-voices.ts';

/** One click: a voice at a time from the start of its lap. */
export interface Hit {
  readonly seconds: Seconds;
  /** The same in quarter notes, exact. */
  readonly at: Rational;
  readonly voice: ClickVoice;
  readonly timbre: ClickTimbre;
}

/** Which clicks of a lap are heard: all, those before the unit starts, or none. */
export type HeardClicks = 'all' | 'count-in' | 'none';

/**
 * The clicks of a lap, by time. At one moment the pulse is always told, by its strongest voice; a change
 * or else a cue is added to it and never takes its place. So at most two voices sound together.
 */
export function hitsOf(lap: Lap, which: HeardClicks = 'all'): readonly Hit[] {
  const until = { all: Infinity, 'count-in': lap.unitStart, none: 0 }[which];
  const audible = lap.events.filter((event) => event.audible && event.seconds < until);
  const hits: Hit[] = [];
  for (let i = 0; i < audible.length;) {
    const moment = momentFrom(audible, i);
    i += moment.length;
    const { seconds, at } = moment[0]!;
    for (const voice of heardTogether(moment.map(voiceOf))) {
      hits.push({ seconds, at, voice, timbre: lap.timbre });
    }
  }
  return hits;
}

/** The events from index `i` on that share its exact position. */
function momentFrom(events: readonly LapEvent[], i: number): readonly LapEvent[] {
  const { n, d } = events[i]!.at;
  let end = i + 1;
  while (end < events.length && events[end]!.at.n === n && events[end]!.at.d === d) end++;
  return events.slice(i, end);
}

const voiceOf = (event: LapEvent): ClickVoice => event.voice ?? event.kind;

const heardTogether = (voices: readonly ClickVoice[]): readonly ClickVoice[] =>
  [PULSE_VOICES, MARK_VOICES].flatMap((order) => {
    const strongest = order.find((voice) => voices.includes(voice));
    return strongest ? [strongest] : [];
  });
