// A practice track as a WAVE file, piece by piece: the caller shows the progress and may simply stop asking.
import type { BandKit } from '../../band/model.ts';
import { addSamples } from '../../sound/add-samples.ts';
import { KNEE, underCeiling } from '../../sound/ceiling.ts';
import { frameAt } from '../../sound/frames.ts';
import { guitarEnd, mixGuitar, Plucks } from '../../sound/guitar.ts';
import { hitsOf } from '../../sound/hits.ts';
import type { StringNote } from '../../sound/strum-notes.ts';
import { levelOf, type Levels } from '../../sound/levels.ts';
import { renderVoices } from '../../sound/voices.ts';
import type { ClickVoice } from '../../timeline/click-voices.ts';
import { lastAtOrBefore } from '../../timeline/search.ts';
import type { Gain, SampleRate, Samples, Seconds, Share } from '../../base/units.ts';
import type { PracticeTrack } from '../practice-track.ts';
import { BandMix } from './band-mix.ts';
import { LeadMix } from './lead-mix.ts';
import { toPcm16, wavHeader } from './riff.ts';

/** As on the player. */
export type TrackLevels = Levels;

export interface WavPiece {
  readonly bytes: Uint8Array<ArrayBuffer>;
  /** How much of the file is there with this piece. */
  readonly done: Share;
}

interface PlacedHit {
  readonly frame: Samples;
  readonly voice: ClickVoice;
}

interface ModelPart {
  /** From the start of the track. */
  readonly notes: readonly StringNote[];
  readonly from: Samples;
  readonly until: Samples;
}

interface Score {
  readonly frames: Samples;
  readonly hits: readonly PlacedHit[];
  readonly model: readonly ModelPart[];
}

const PIECE: Seconds = 5;

/**
 * The file's bytes in order: the header, then five seconds at a time, mono, 16 bits, under the same
 * ceiling as the player. Clicks stand at the same samples as there. `kit`: the sounds of the band, which
 * only a place with Web Audio can make, at the file's rate.
 * @throws RangeError when the track has a band and there is no kit.
 */
export function* writeWav(
  track: PracticeTrack,
  levels: TrackLevels,
  sampleRate: SampleRate,
  kit?: BandKit,
): Generator<WavPiece, void> {
  const score = scoreOf(track, sampleRate);
  const voices = renderVoices(sampleRate, track.laps[0]?.lap.timbre);
  const longest = Math.max(...Object.values(voices).map((samples) => samples.length));
  const guitar: ModelGuitar = {
    parts: score.model,
    plucks: new Plucks(sampleRate),
    leads: new LeadMix(levels.model === 0 ? [] : track.laps, sampleRate),
    level: levels.model,
  };
  const band = new BandMix(track.laps, kit, levels);
  const size = PIECE * sampleRate;
  yield { bytes: wavHeader(score.frames, sampleRate), done: 0 };
  for (let from = 0; from < score.frames; from += size) {
    const out = new Float32Array(Math.min(size, score.frames - from));
    mixModel(out, from, guitar);
    band.mix(out, from);
    mixHits(out, from, score.hits, longest, (hit) => [
      voices[hit.voice],
      levels[levelOf(hit.voice)],
    ]);
    for (let i = 0; i < out.length; i++) out[i] = underCeiling(KNEE * out[i]!);
    yield { bytes: toPcm16(out), done: (from + out.length) / score.frames };
  }
}

/** What sounds where, in frames of the whole file, every moment rounded once. */
function scoreOf(track: PracticeTrack, rate: SampleRate): Score {
  const hits = track.laps.flatMap(({ lap, startsAt }) =>
    hitsOf(lap, track.click).map(({ seconds, voice }): PlacedHit => {
      return { frame: frameAt(startsAt + seconds, rate), voice };
    }),
  );
  const model = track.laps.map(({ model: notes, startsAt }): ModelPart => {
    const moved = notes.map((n) => {
      return { ...n, seconds: n.seconds + startsAt, until: n.until + startsAt };
    });
    const until = frameAt(guitarEnd(moved), rate);
    return { notes: moved, from: frameAt(startsAt, rate), until };
  });
  return { frames: frameAt(track.end, rate), hits, model };
}

/** Chords and leads of the model guitar, at one level. */
interface ModelGuitar {
  readonly parts: readonly ModelPart[];
  readonly plucks: Plucks;
  readonly leads: LeadMix;
  readonly level: Gain;
}

function mixModel(
  out: Float32Array,
  from: Samples,
  { parts, plucks, leads, level }: ModelGuitar,
): void {
  if (level === 0) return;
  for (const part of parts) {
    if (part.until > from && part.from < from + out.length)
      mixGuitar(out, from, part.notes, plucks);
  }
  leads.mix(out, from);
  for (let i = 0; i < out.length; i++) out[i]! *= level;
}

function mixHits(
  out: Float32Array,
  from: Samples,
  hits: readonly PlacedHit[],
  longest: Samples,
  soundOf: (hit: PlacedHit) => readonly [Float32Array, Gain],
) {
  let i = lastAtOrBefore(hits, (hit) => hit.frame - (from - longest)) + 1;
  for (; i < hits.length && hits[i]!.frame < from + out.length; i++) {
    const [samples, level] = soundOf(hits[i]!);
    addSamples(out, hits[i]!.frame - from, samples, level);
  }
}
