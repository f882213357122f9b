// What must be heard in one lap: its changes with their first strokes, all strokes, and every click.
import { strokesInBar } from '../rhythm/strum.ts';
import type { Unit } from '../model/unit.ts';
import type { Chord } from '../model/chord.ts';
import { liftOf, sounding } from '../fretboard/capo.ts';
import { hitsOf } from '../sound/hits.ts';
import type { Fingers, Voicing } from '../units/hands/hands.ts';
import { openStrings } from '../fretboard/capo.ts';
import type { Lap, LapEvent } from '../timeline/model.ts';
import { secondsInBar } from '../timeline/tempo-map.ts';
import type { Seconds } from '../base/units.ts';
import type { Expectation, ExpectedChange, ExpectedChord, ExpectedStroke } from './model.ts';

/** How the chords of a lap are held. */
export interface Grips {
  /** Those of the model guitar (`strumNotes`); null where only the symbols are to be trusted. */
  readonly voicings: readonly Voicing[] | null;
  /** Of the same shapes, where they are known. */
  readonly fingers?: readonly Fingers[];
}

/**
 * A unit with a lead over N.C. is judged by onset there. @param start where the lap begins in the recording
 * @throws RangeError when there are not as many voicings as chords.
 */
export function expectationOf(
  lap: Lap,
  unit: Unit,
  start: Seconds,
  { voicings, fingers = [] }: Grips,
): Expectation {
  const chords = lap.changes.length + (lap.opening === undefined ? 0 : 1);
  if (voicings && voicings.length !== chords) {
    throw new RangeError(`expectationOf: ${voicings.length} voicings for ${chords} chords`);
  }
  const strokes = strokesOf(lap, unit, start);
  return {
    changes: lap.changes.map((_, i) =>
      changeOf(lap, i, strokes, { start, voicings, fingers, unit }),
    ),
    strokes,
    clicks: hitsOf(lap).map(({ seconds, voice, timbre }) => ({
      at: start + seconds,
      voice,
      timbre,
    })),
    beat: (lap.beats[1] ?? lap.unitEnd) - (lap.beats[0] ?? 0),
  };
}

function strokesOf(lap: Lap, unit: Unit, start: Seconds): ExpectedStroke[] {
  return lap.bars.flatMap((bar) => {
    const played = bar.unitBar === undefined ? undefined : unit.bars[bar.unitBar];
    return (played ? strokesInBar(played) : []).flatMap(({ swungAt, cell }): ExpectedStroke[] => {
      if (cell.kind !== 'stroke') return [];
      const at = start + secondsInBar(bar, swungAt);
      return [{ at, direction: cell.direction, muted: cell.muted }];
    });
  });
}

/** What is known of the recording as a whole. */
interface Recorded {
  readonly start: Seconds;
  readonly voicings: readonly Voicing[] | null;
  readonly fingers: readonly Fingers[];
  readonly unit: Unit;
}

function changeOf(
  lap: Lap,
  i: number,
  strokes: readonly ExpectedStroke[],
  { start, voicings, fingers, unit }: Recorded,
): ExpectedChange {
  const event = lap.changes[i]!;
  const before: LapEvent | undefined = lap.changes[i - 1];
  const shift = lap.opening === undefined ? 0 : 1;
  const held = before || shift ? voicings?.[i - 1 + shift] : undefined;
  const from = expectedChord(event.from, held, unit);
  const to = expectedChord(event.chord, voicings?.[i + shift], unit, fingers[i + shift]);
  const at = start + event.seconds;
  const until = start + (lap.changes[i + 1]?.seconds ?? lap.unitEnd);
  const first = strokes.find((s) => s.at >= at - 1e-6 && s.at < until - 1e-6 && !s.muted);
  return {
    bar: lap.bars[event.bar]!.unitBar ?? 0,
    change: i,
    due: first?.at ?? at,
    until,
    from,
    to,
    names: { from: event.from?.symbol ?? '', to: event.chord?.symbol ?? '' },
    struck: first !== undefined,
    sounds: to !== null,
  };
}

/** What must sound where a chord is fingered; null for silence, for no chord, and for one that nobody can read. */
function expectedChord(
  fingered: Chord | undefined,
  voicing: Voicing = [],
  unit: Unit,
  fingers: Fingers = [],
): ExpectedChord | null {
  if (fingered?.kind !== 'chord') return null;
  const lift = liftOf(unit);
  const { symbol, rootPc: root, pitchClasses } = sounding(fingered, lift);
  const heard = voicing.filter((m) => m !== null);
  if (heard.length === 0) return { symbol, root, pitchClasses, lift };
  // A shape may leave a tone out (the fifth of a ninth chord); what it has is what must sound.
  const played = [...new Set(heard.map((m) => m % 12))];
  const grip = fingers.length === 0 ? {} : { fingers };
  return {
    ...{ symbol, root, pitchClasses: played, lift, strings: voicing },
    ...{ open: openStrings(unit), ...grip },
  };
}
