// Lets one shape be heard: a single slow down-stroke of the model guitar, without a click.
import { meterOf } from '../../../app/core/rhythm/meter.ts';
import type { StrumPattern } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import type { Shape } from '../../../app/core/fretboard/shape.ts';
import { rational, ZERO } from '../../../app/core/base/rational.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';
import { strumNotes } from '../../../app/core/sound/strum-notes.ts';
import { BARE_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { FirstSound } from './first-sound.svelte.ts';
import type { Sound } from './sound.svelte.ts';

const ONE_STROKE: StrumPattern = {
  grid: 2,
  cells: [
    { kind: 'stroke', direction: 'down', accent: false, muted: false },
    ...Array.from({ length: 7 }, () => ({ kind: 'ring' }) as const),
  ],
};

/** One bar of four at 80 bpm: long enough to hear the shape ring. */
const tempo = { bpm: 80, beat: 'quarter' } as const;
const UNIT: Unit = {
  key: 'shape',
  ref: { kind: 'section', section: 'Shape' },
  name: 'Shape',
  bars: [
    {
      section: 'Shape',
      bar: 1,
      time: 1,
      meter: meterOf(4, 4),
      feel: { kind: 'straight' },
      tempo,
      length: rational(4),
      pickup: false,
      strum: ONE_STROKE,
      chords: [{ at: ZERO, chord: chordOf('C') }],
    },
  ],
  tempo,
  tuning: STANDARD,
  capo: 0,
  fingerprint: 'shape',
};

interface Around {
  readonly firstSound: FirstSound;
  readonly sound: Sound;
}

/** Plays the shape's own pitches, capo included, after the words of care; what sounded before from here is silenced. */
export const hearShape = ({ firstSound, sound }: Around, shape: Pick<Shape, 'pitches'>): void =>
  firstSound.before(() => void play(sound, shape));

async function play(sound: Sound, { pitches }: Pick<Shape, 'pitches'>): Promise<void> {
  const player = await sound.open();
  if (!player) return;
  player.stop();
  const lap = buildLap(UNIT, tempo.bpm, BARE_LAP);
  const model = strumNotes(lap, UNIT, [pitches]);
  await player.prepare(model);
  player.schedule(lap, player.earliest(), { click: 'count-in', model });
}
