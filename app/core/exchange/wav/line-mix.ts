// The lead lines of a track, mixed stretch by stretch: a tone is made when it is reached and let go after its end.
import { type RenderedTone, LINE_GAIN, renderTone } from '../../sound/line/voice.ts';
import type { LineTone } from '../../sound/line/tones.ts';
import { frameAt } from '../../sound/frames.ts';
import type { SampleRate, Samples, Seconds } from '../../units.ts';

export class LineMix {
  readonly #tones: readonly LineTone[];
  readonly #rate: SampleRate;
  #next = 0;
  #sounding: readonly RenderedTone[] = [];

  /** Tones by start, in the time of the whole file. */
  constructor(tones: readonly LineTone[], sampleRate: SampleRate) {
    this.#tones = tones;
    this.#rate = sampleRate;
  }

  /** Adds to `out`, which holds the file's frames from `from` on. Stretches are asked for in order. */
  mix(out: Float32Array, from: Samples): void {
    const end = from + out.length;
    const due: RenderedTone[] = [...this.#sounding];
    for (; this.#isDue(end); this.#next++) {
      due.push(renderTone(this.#tones[this.#next]!, this.#rate));
    }
    for (const tone of due) addTone(out, from, tone);
    this.#sounding = due.filter((tone) => tone.from + tone.samples.length > end);
  }

  #isDue(end: Samples): boolean {
    const tone = this.#tones[this.#next];
    return tone !== undefined && frameAt(tone.start, this.#rate) < end;
  }
}

function addTone(out: Float32Array, from: Samples, { from: start, samples }: RenderedTone): void {
  const last = Math.min(out.length, start - from + samples.length);
  for (let i = Math.max(0, start - from); i < last; i++) {
    out[i]! += LINE_GAIN * samples[i - start + from]!;
  }
}

/** The same tone so much later. */
export const movedBy = (tone: LineTone, by: Seconds): LineTone => ({
  ...tone,
  start: tone.start + by,
  end: tone.end + by,
  points: tone.points.map((point) => ({ ...point, at: point.at + by })),
  attacks: tone.attacks.map((attack) => ({ ...attack, at: attack.at + by })),
  vibratos: tone.vibratos.map((v) => ({ ...v, from: v.from + by, until: v.until + by })),
});
