// The lead lines of a track, mixed stretch by stretch: a tone is made when it is reached and let go after its end.
import { addSamples } from '../../sound/add-samples.ts';
import { frameAt } from '../../sound/frames.ts';
import type { LeadTone } from '../../sound/lead/tones.ts';
import { LEAD_GAIN, renderTone } from '../../sound/lead/voice.ts';
import type { SampleRate, Samples, Seconds } from '../../base/units.ts';
import type { TrackLap, TrackLead } from '../practice-track.ts';

/** How much sound is kept for the next pass on the same rung: 23 MB at 48 kHz. */
const KEPT: Seconds = 120;

interface PlacedSound {
  /** Frame of the whole file. */
  readonly from: Samples;
  readonly samples: Float32Array;
}

interface PlacedTone {
  readonly tone: LeadTone;
  readonly from: Samples;
  /** What its lap plays: passes on one rung play the very same. */
  readonly leads: readonly TrackLead[];
}

export class LeadMix {
  readonly #tones: readonly PlacedTone[];
  readonly #rate: SampleRate;
  #next = 0;
  #sounding: readonly PlacedSound[] = [];
  #leads: readonly TrackLead[] = [];
  #kept = new Map<LeadTone, Float32Array>();
  #room: Samples = 0;

  constructor(laps: readonly TrackLap[], sampleRate: SampleRate) {
    this.#rate = sampleRate;
    this.#tones = laps
      .flatMap(({ leads, startsAt }) =>
        leads.flatMap(({ tones }) =>
          tones.map((tone): PlacedTone => {
            return { tone, leads, from: frameAt(startsAt + tone.start, sampleRate) };
          }),
        ),
      )
      .toSorted((a, b) => a.from - b.from);
  }

  /** Adds to `out`, which holds the file's frames from `from` on. Stretches are asked for in order. */
  mix(out: Float32Array, from: Samples): void {
    const end = from + out.length;
    const due = [...this.#sounding];
    for (; this.#tones[this.#next] && this.#tones[this.#next]!.from < end; this.#next++) {
      const placed = this.#tones[this.#next]!;
      due.push({ from: placed.from, samples: this.#samplesOf(placed) });
    }
    for (const sound of due) addSamples(out, sound.from - from, sound.samples, LEAD_GAIN);
    this.#sounding = due.filter((sound) => sound.from + sound.samples.length > end);
  }

  #samplesOf({ tone, leads }: PlacedTone): Float32Array {
    if (leads !== this.#leads) {
      this.#leads = leads;
      this.#kept.clear();
      this.#room = KEPT * this.#rate;
    }
    const kept = this.#kept.get(tone);
    if (kept) return kept;
    const { samples } = renderTone(tone, this.#rate);
    this.#room -= samples.length;
    if (this.#room >= 0) this.#kept.set(tone, samples);
    return samples;
  }
}
