// The band of a track, mixed stretch by stretch from the sounds that were rendered for it.
import type { BandKit, BandLap, BassNote, DrumHit } from '../../band/model.ts';
import { bassEnd, drumsEnd, mixBass, mixDrums } from '../../band/mix.ts';
import type { Levels } from '../../sound/levels.ts';
import type { Samples, Seconds } from '../../base/units.ts';
import type { TrackLap } from '../practice-track.ts';

/** A lap's band in seconds of the whole file. */
interface Part {
  readonly drums: readonly DrumHit[];
  readonly bass: readonly BassNote[];
  readonly from: Seconds;
  readonly until: Seconds;
}

export class BandMix {
  readonly #kit: BandKit | undefined;
  readonly #parts: readonly Part[];
  readonly #levels: Pick<Levels, 'drums' | 'bass'>;

  /** @throws RangeError when a lap has a band and there are no sounds for it. */
  constructor(
    laps: readonly TrackLap[],
    kit: BandKit | undefined,
    levels: Pick<Levels, 'drums' | 'bass'>,
  ) {
    const plays = ({ drums, bass }: BandLap): boolean => drums.length + bass.length > 0;
    const playing = laps.filter(({ band }) => plays(band));
    if (playing.length > 0 && !kit) throw new RangeError('writeWav: a band needs its sounds');
    this.#kit = kit;
    this.#levels = levels;
    this.#parts = kit ? playing.map((lap) => partOf(lap, kit)) : [];
  }

  /** Adds to `out`, which holds the file's frames from `from` on. */
  mix(out: Float32Array, from: Samples): void {
    const kit = this.#kit;
    if (!kit) return;
    const [start, end] = [from / kit.sampleRate, (from + out.length) / kit.sampleRate];
    for (const part of this.#parts) {
      if (part.until < start || part.from >= end) continue;
      add(out, this.#levels.drums, (samples) => mixDrums(samples, from, part.drums, kit));
      add(out, this.#levels.bass, (samples) => mixBass(samples, from, part.bass, kit));
    }
  }
}

/** Each event is rounded to a sample once, from its moment in the whole file. */
function partOf({ band, startsAt }: TrackLap, kit: BandKit): Part {
  const drums = band.drums.map((hit) => ({ ...hit, seconds: hit.seconds + startsAt }));
  const bass = band.bass.map((note) => {
    return { ...note, seconds: note.seconds + startsAt, until: note.until + startsAt };
  });
  return { drums, bass, from: startsAt, until: Math.max(drumsEnd(drums, kit), bassEnd(bass)) };
}

function add(out: Float32Array, level: number, mix: (part: Float32Array) => void): void {
  if (level === 0) return;
  const part = new Float32Array(out.length);
  mix(part);
  for (let i = 0; i < out.length; i++) out[i]! += level * part[i]!;
}
