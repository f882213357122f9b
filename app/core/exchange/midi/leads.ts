// Lead lines as MIDI: one track a part, one channel a sounding string, the pitch curve as pitch bends.
import { stringPitch } from '../../harmony/tunings.ts';
import type { Unit } from '../../model/unit.ts';
import { type LeadTone, pitchAt } from '../../sound/lead/tones.ts';
import type { Midi, Seconds } from '../../base/units.ts';
import {
  bendRange,
  noteOff,
  noteOn,
  pitchBend,
  program,
  STEEL_GUITAR,
  trackName,
  type TrackEvent,
} from './bytes.ts';
import { type PlacedLap, secondsAt, tickAt } from './places.ts';
import { CHANNELS, sharedOut } from './lead-channels.ts';

/** A pitch that has moved so far is told again; with half a tick of lateness the error stays under 3 cents. */
const STEP: Midi = 0.015;
/** What General MIDI takes a full bend for unless told otherwise: files that need no more play right anywhere. */
const USUAL_RANGE = 2;
const VELOCITY = { picked: 110, muted: 60 } as const;

/** A key of the instrument, pressed and let go, and how far the pitch is bent from it meanwhile. */
interface Pressed {
  readonly on: number;
  readonly off: number;
  readonly key: Midi;
  readonly velocity: number;
  readonly bends: readonly { readonly tick: number; readonly by: Midi }[];
}

interface Voice {
  /** Name of its track. */
  readonly part: string;
  /** Which string of which part it is. */
  readonly owner: string;
  readonly pressed: readonly Pressed[];
  readonly on: number;
  readonly off: number;
}

/** The events of each part, in the order in which the parts first sound; none without lead lines. */
export function leadTracks(
  laps: readonly PlacedLap[],
  unit: Unit,
): readonly (readonly TrackEvent[])[] {
  const open = unit.tuning.strings.map((pitch) => pitch + unit.capo);
  const voices = laps.flatMap((lap) => voicesOf(lap, open)).toSorted((a, b) => a.on - b.on);
  const range = rangeOf(voices);
  const parts = Map.groupBy(sharedOut(voices), ({ voice }) => voice.part);
  return [...parts].map(([name, given]) => {
    const channels = new Set(given.map(({ channel }) => channel));
    const opening = [...channels].flatMap((channel) => [
      program(CHANNELS[channel]!, STEEL_GUITAR),
      ...bendRange(CHANNELS[channel]!, range),
    ]);
    return [
      ...[trackName(name), ...opening].map((message) => ({ tick: 0, message })),
      ...given.flatMap(({ voice, channel, until }) =>
        eventsOf(voice, CHANNELS[channel]!, until, range),
      ),
    ];
  });
}

function voicesOf(lap: PlacedLap, open: readonly Midi[]): readonly Voice[] {
  return lap.leads.flatMap(({ part, tones }) => {
    const name = `${part.lead}: ${part.part}`;
    return tones.map((tone): Voice => {
      const pressed = tone.points.length > 0 ? pitched(tone, lap) : [muted(tone, lap, open)];
      const owner = `${name}: ${tone.string}`;
      return { part: name, owner, pressed, on: pressed[0]!.on, off: pressed.at(-1)!.off };
    });
  });
}

/** A dead note has no pitch; it is a short touch of its open string's. */
function muted(tone: LeadTone, lap: PlacedLap, open: readonly Midi[]): Pressed {
  const on = tickAt(lap, tone.start);
  const off = Math.max(on + 1, tickAt(lap, tone.end));
  const key = stringPitch(open, tone.string);
  return { on, off, key, velocity: VELOCITY.muted, bends: [{ tick: on, by: 0 }] };
}

/** Every attack presses a key, softer for hammer-ons and pull-offs; what lies between is bent. */
function pitched(tone: LeadTone, lap: PlacedLap): readonly Pressed[] {
  return tone.attacks.map(({ at, strength }, i): Pressed => {
    const until = tone.attacks[i + 1]?.at ?? tone.end;
    const key = Math.round(pitchAt(tone, at));
    const on = tickAt(lap, at);
    const off = Math.max(on + 1, tickAt(lap, until));
    const bends = bendsOf(tone, lap, at, until).map(({ tick, pitch }) => ({
      tick: Math.max(on, tick),
      by: pitch - key,
    }));
    return { on, off, key, velocity: Math.round(VELOCITY.picked * strength), bends };
  });
}

interface Told {
  readonly tick: number;
  readonly pitch: Midi;
}

/** The curve from one attack to the next: where it starts, each step of a movement, and where that ends. */
function bendsOf(tone: LeadTone, lap: PlacedLap, from: Seconds, until: Seconds): readonly Told[] {
  const told: Told[] = [{ tick: tickAt(lap, from), pitch: pitchAt(tone, from) }];
  const tell = (tick: number, at: Seconds, least: Midi) => {
    const pitch = pitchAt(tone, at);
    if (Math.abs(pitch - told.at(-1)!.pitch) > least) told.push({ tick, pitch });
  };
  for (const span of movements(tone, from, until)) {
    const last = tickAt(lap, span.until);
    for (let tick = tickAt(lap, span.from) + 1; tick < last; tick++) {
      tell(tick, secondsAt(lap, tick), STEP);
    }
    if (span.until < until) tell(last, span.until, 0);
  }
  return told;
}

interface Span {
  readonly from: Seconds;
  readonly until: Seconds;
}

/** When the pitch moves between two moments, without overlaps. */
function movements(tone: LeadTone, from: Seconds, until: Seconds): readonly Span[] {
  const moves = tone.points.slice(1).flatMap((point, i): Span[] => {
    const before = tone.points[i]!;
    return before.pitch === point.pitch ? [] : [{ from: before.at, until: point.at }];
  });
  const inside = [...moves, ...tone.vibratos]
    .map((span) => ({ from: Math.max(from, span.from), until: Math.min(until, span.until) }))
    .filter((span) => span.from < span.until)
    .toSorted((a, b) => a.from - b.from);
  const apart: Span[] = [];
  for (const span of inside) {
    const last = apart.at(-1);
    if (!last || last.until < span.from) apart.push(span);
    else apart[apart.length - 1] = { ...last, until: Math.max(last.until, span.until) };
  }
  return apart;
}

const rangeOf = (voices: readonly Voice[]): number =>
  voices
    .flatMap((voice) => voice.pressed.flatMap((note) => note.bends))
    .reduce((widest, { by }) => Math.max(widest, Math.ceil(Math.abs(by))), USUAL_RANGE);

/** Each key is let go before the bend moves on to the next, so that nothing is heard to jump. */
function eventsOf(
  { pressed }: Voice,
  channel: number,
  until: number,
  range: number,
): readonly TrackEvent[] {
  return pressed
    .filter(({ on }) => on < until)
    .flatMap(({ on, off, key, velocity, bends }) => [
      ...bends.slice(0, 1).map((bend) => bendEvent(channel, bend, range)),
      { tick: on, message: noteOn(channel, key, velocity) },
      ...bends
        .slice(1)
        .filter(({ tick }) => tick < until)
        .map((bend) => bendEvent(channel, bend, range)),
      { tick: Math.min(off, until), message: noteOff(channel, key) },
    ]);
}

const bendEvent = (
  channel: number,
  { tick, by }: Pressed['bends'][number],
  range: number,
): TrackEvent => ({ tick, message: pitchBend(channel, (by / range) * 8192) });
