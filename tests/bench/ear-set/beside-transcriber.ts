// The ear and a transcriber that knows no score, on the same changes: which chords do they take for right?
import type { PitchClass, Share } from '../../../app/core/base/units.ts';
import { counted, type Counted } from './counted.ts';
import { accepted, caught, changesOf } from './figures.ts';
import { isRight, type ScoredChange, type ScoredTake } from './score.ts';
import { pitchClasses } from './shapes.ts';
import { type Transcribed, transcriber } from './transcriber.ts';

/** A tone is there from the one on, another tone is not below the other; chosen on 18 takes of the validation part. */
const THERE: Share = 0.2;
const FOREIGN: Share = 0.4;
/** So much of a chord is looked at, from shortly after it began. */
const HEARD = { from: 0.03, to: 0.35, before: 0.02 } as const;

export interface Judged {
  readonly accepted: Counted;
  readonly caught: Counted;
  readonly mean: Share;
}

/** A take that the ear has heard, and its sound. */
export interface BesideTake {
  readonly take: ScoredTake;
  readonly wav: string;
}

/** First the ear, then the peer. */
export async function besideTranscriber(takes: Iterable<BesideTake>): Promise<[Judged, Judged]> {
  const transcribe = await transcriber();
  const heard: ScoredChange[] = [];
  const taken: boolean[] = [];
  for (const { take, wav } of takes) {
    const struck = changesOf([take]).filter(
      ({ truth, plan }) => truth.played !== null && plan.shapesKnown,
    );
    const transcribed = await transcribe(wav);
    heard.push(...struck);
    taken.push(...struck.map((change) => isTaken(change, transcribed)));
  }
  const share = (right: boolean): Counted => {
    const of = taken.filter((_, i) => isRight(heard[i]!) === right);
    return counted(of.filter((takenForRight) => takenForRight === right).length, of.length);
  };
  return [judged(accepted(heard), caught(heard)), judged(share(true), share(false))];
}

const judged = (right: Counted, wrong: Counted): Judged => ({
  accepted: right,
  caught: wrong,
  mean: (right.share + wrong.share) / 2,
});

/** All that was due is there, and nothing else is. */
function isTaken({ truth }: ScoredChange, transcribed: Transcribed): boolean {
  const from = truth.played! + HEARD.from;
  const to = Math.min(truth.until - HEARD.before, truth.played! + HEARD.to);
  const due: readonly PitchClass[] = pitchClasses(truth.to.strings);
  return transcribed(from, to).every((sure, pc) =>
    due.includes(pc) ? sure >= THERE : sure < FOREIGN,
  );
}
