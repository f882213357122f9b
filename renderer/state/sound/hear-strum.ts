// Lets a strum pattern be heard at its chart's tempo: two bars of one open chord, with the click.
import { barLength, beatUnitLength } from '../../../app/core/rhythm/meter.ts';
import { strumLength } from '../../../app/core/rhythm/strum.ts';
import type { Feel, Meter, StrumPattern, Tempo } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import { add, equals, toNumber, ZERO } from '../../../app/core/base/rational.ts';
import type { Midi } from '../../../app/core/base/units.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';
import { strumNotes } from '../../../app/core/sound/strum-notes.ts';
import { BARE_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { FirstSound } from './first-sound.svelte.ts';
import type { Sound } from './sound.svelte.ts';

/** Open G, string 6 to 1. */
const OPEN_G: readonly Midi[] = [43, 47, 50, 55, 59, 67];
/** Quarter notes a minute between which a pattern can be followed by ear (our own choice, no source). */
const SLOWEST = 60;
const FASTEST = 144;

/** The chart's tempo, unless a pattern could hardly be followed at it. */
function followed(tempo: Tempo): Tempo {
  const quarters = tempo.bpm * toNumber(beatUnitLength(tempo.beat));
  const heard = Math.min(FASTEST, Math.max(SLOWEST, quarters));
  return { ...tempo, bpm: (tempo.bpm * heard) / quarters };
}

export interface HeardStrum {
  readonly pattern: StrumPattern;
  readonly meter: Meter;
  readonly feel: Feel;
  readonly tempo: Tempo;
}

interface Around {
  readonly firstSound: FirstSound;
  readonly sound: Sound;
}

/** After the words of care; what sounded before from here is silenced. */
export const hearStrum = ({ firstSound, sound }: Around, heard: HeardStrum): void =>
  firstSound.before(() => void play(sound, heard));

async function play(sound: Sound, heard: HeardStrum): Promise<void> {
  const player = await sound.open();
  if (!player) return;
  player.stop();
  const unit = unitOf(heard);
  const lap = buildLap(unit, unit.tempo.bpm, BARE_LAP);
  const model = strumNotes(lap, unit, [OPEN_G]);
  await player.prepare(model);
  player.schedule(lap, player.earliest(), { click: 'all', model });
}

function unitOf({ pattern, meter, feel, tempo: asked }: HeardStrum): Unit {
  const tempo = followed(asked);
  const length = barLength(meter);
  const halves = equals(strumLength(pattern), add(length, length));
  const half = pattern.cells.length / 2;
  const bars = [1, 2].map((bar) => ({
    section: 'Strum',
    bar,
    time: 1,
    meter,
    feel,
    tempo,
    length,
    pickup: false,
    strum: halves
      ? { ...pattern, cells: bar === 1 ? pattern.cells.slice(0, half) : pattern.cells.slice(half) }
      : pattern,
    ...(bar === 2 && { held: chordOf('G') }),
    chords: bar === 1 ? [{ at: ZERO, chord: chordOf('G') }] : [],
  }));
  return {
    key: 'strum',
    ref: { kind: 'section', section: 'Strum' },
    name: 'Strum',
    bars,
    tempo,
    tuning: STANDARD,
    capo: 0,
    fingerprint: 'strum',
  };
}
