// What single strokes, a click and the model guitar measure at the usual levels, by ITU-R BS.1770.
import { unwrap } from '../../app/core/base/result.ts';
import { parseStrum } from '../../app/core/rhythm/strum.ts';
import { mixGuitar } from '../../app/core/sound/guitar.ts';
import { plucksAt } from './plucks.ts';
import { hitsOf } from '../../app/core/sound/hits.ts';
import { levelOf, USUAL_LEVELS } from '../../app/core/sound/levels.ts';
import { strumNotes } from '../../app/core/sound/strum-notes.ts';
import { renderVoice } from '../../app/core/sound/voices.ts';
import type { ClickTimbre, ClickVoice } from '../../app/core/timeline/click-voices.ts';
import { buildLap } from '../../app/core/timeline/lap.ts';
import { emptyBars, PLAIN, unitOf } from '../unit/timeline/examples.ts';
import { loudest, LOUDNESS_RATE, MOMENTARY, SHORT_TERM } from './loudness.ts';

const RATE = LOUDNESS_RATE;

/** One stroke of a voice as the usual levels play it. */
export const stroke = (voice: ClickVoice, timbre: ClickTimbre = 'wood'): number =>
  loudest(
    renderVoice(voice, RATE, timbre).map((x) => x * USUAL_LEVELS[levelOf(voice)]),
    MOMENTARY,
  );

/** Four bars of clicks at 100 bpm. */
export function clicking(timbre: ClickTimbre): number {
  const lap = buildLap(unitOf(emptyBars(4)), 100, { ...PLAIN, countIn: 'none', timbre });
  const out = new Float32Array(RATE * 10);
  for (const { seconds, voice } of hitsOf(lap)) {
    const from = Math.round(seconds * RATE);
    renderVoice(voice, RATE, timbre).forEach((x, i) => {
      out[from + i]! += x * USUAL_LEVELS[levelOf(voice)];
    });
  }
  return loudest(out, SHORT_TERM);
}

export const SHAPES = {
  G: [43, 47, 50, 55, 59, 67],
  D: [null, null, 50, 57, 62, 66],
  F: [41, 48, 53, 57, 60, 65],
} as const;
const plucks = plucksAt(RATE);

/** The model guitar plays four bars at 100 bpm. */
export function strumming(text: string, shape: keyof typeof SHAPES): Float32Array {
  const plain = unitOf([{ chords: [['G', 0]] }, ...emptyBars(3)]);
  const strum = unwrap(parseStrum(text));
  const unit = { ...plain, bars: plain.bars.map((bar) => ({ ...bar, strum })) };
  const lap = buildLap(unit, 100, { ...PLAIN, countIn: 'none' });
  const out = new Float32Array(RATE * 10);
  mixGuitar(out, 0, strumNotes(lap, unit, [SHAPES[shape]]), plucks);
  return out.map((x) => x * USUAL_LEVELS.model);
}

/** One stroke of the guitar, heard for 0.4 s. */
export const guitarStroke = (text: string, shape: keyof typeof SHAPES): number =>
  loudest(strumming(text, shape).subarray(0, 0.4 * RATE), MOMENTARY);
