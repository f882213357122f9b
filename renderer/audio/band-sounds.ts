// The band of a lap as sounds of one second each, mixed from the kit when they are due.
import { bassEnd, drumsEnd, mixBass, mixDrums } from '../../app/core/band/mix.ts';
import type { BandKit, BandLap } from '../../app/core/band/model.ts';
import { frameAt } from '../../app/core/sound/frames.ts';
import type { Samples, Seconds } from '../../app/core/base/units.ts';
import type { Engine } from './engine.ts';
import type { TimedSound } from './lap-sources.ts';

const PIECE: Seconds = 1;

/** Pieces follow one another to the sample, so that what rings goes through from one to the next. */
export function bandSounds(
  engine: Engine,
  kit: BandKit,
  { drums, bass }: BandLap,
): readonly TimedSound[] {
  return [
    ...pieces(engine, kit, {
      level: 'drums',
      starts: drums[0]?.seconds,
      ends: drumsEnd(drums, kit),
      mix: (out, from) => mixDrums(out, from, drums, kit),
    }),
    ...pieces(engine, kit, {
      level: 'bass',
      starts: bass[0]?.seconds,
      ends: bassEnd(bass),
      mix: (out, from) => mixBass(out, from, bass, kit),
    }),
  ];
}

/** One of the band, in seconds from the start of the lap; undefined where it is silent. */
interface Member {
  readonly level: 'drums' | 'bass';
  readonly starts: Seconds | undefined;
  readonly ends: Seconds;
  /** Adds its sound from a sample of the lap on. */
  readonly mix: (out: Float32Array, from: Samples) => void;
}

function pieces(
  { native }: Engine,
  { sampleRate }: BandKit,
  { level, starts, ends, mix }: Member,
): readonly TimedSound[] {
  if (starts === undefined) return [];
  const size = frameAt(PIECE, sampleRate);
  const first = Math.floor(frameAt(starts, sampleRate) / size);
  const last = Math.ceil(frameAt(ends, sampleRate) / size);
  return Array.from({ length: last - first }, (_, k) => {
    const from = (first + k) * size;
    return {
      seconds: from / sampleRate,
      level,
      member: level,
      buffer: () => {
        const buffer = native.createBuffer(1, size, sampleRate);
        mix(buffer.getChannelData(0), from);
        return buffer;
      },
    };
  });
}
