// Which voice is heard when several events of a lap share a moment.
import type { Rational } from '../base/rational.ts';
import type { Lap, LapEvent } from '../timeline/model.ts';
import type { Seconds } from '../base/units.ts';
import type { ClickVoice } from '../timeline/click-voices.ts';

/** One click: a voice at a time from the start of its lap. */
export interface Hit {
  readonly seconds: Seconds;
  /** The same in quarter notes, exact. */
  readonly at: Rational;
  readonly voice: ClickVoice;
}

/** Which clicks of a lap are heard: all, those before the unit starts, or none. */
export type HeardClicks = 'all' | 'count-in' | 'none';

/**
 * The clicks of a lap, by time. At one moment:
 * 1. a bar is always told: its voice sounds whatever else happens;
 * 2. a change sounds, alone or over the bar, and takes the place of a beat, a subdivision or a cue;
 * 3. a cue sounds, alone or over the bar, and takes the place of a beat or a subdivision;
 * 4. a beat takes the place of a subdivision.
 * So at most two voices sound together, and they are the two that were made to blend.
 */
export function hitsOf(lap: Lap, which: HeardClicks = 'all'): readonly Hit[] {
  const until = { all: Infinity, 'count-in': lap.unitStart, none: 0 }[which];
  const audible = lap.events.filter((event) => event.audible && event.seconds < until);
  const hits: Hit[] = [];
  for (let i = 0; i < audible.length;) {
    const moment = momentFrom(audible, i);
    i += moment.length;
    const { seconds, at } = moment[0]!;
    for (const voice of heardTogether(moment.map(voiceOf))) hits.push({ seconds, at, voice });
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

function heardTogether(voices: readonly ClickVoice[]): readonly ClickVoice[] {
  const over = (['change', 'cue', 'beat', 'subdivision'] as const).find((v) => voices.includes(v));
  if (!voices.includes('bar')) return over ? [over] : [];
  return over === 'change' || over === 'cue' ? ['bar', over] : ['bar'];
}
