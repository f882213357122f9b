// Fits the weights of the hand model to chords-db and says what they reach on chords that a fit did not see:
// `node tests/bench/hand-set/fit-ease.ts`. Its weights go into app/core/fretboard/weights.ts by hand, rounded.
import { dice } from '../ear-set/random.ts';
import { type Example, examples, printedFingerings } from './examples.ts';
import { fitWeights } from './fit.ts';
import { NAMES, type Weights, fingeringContest, heldBy, standingOf } from './standing.ts';

const STARTS = 3;
const FOLDS = 4;
const fingerings = printedFingerings();

main();

function main(): void {
  const all = examples();
  const common = all.filter((example) => example.common);
  const others = all.filter((example) => !example.common);
  console.log(
    `${common.length} common chords, ${others.length} others and ${fingerings.length} fingerings can be learned from`,
  );
  const weights = fit(all);
  NAMES.forEach((name, i) => console.log(`  ${name}: ${weights[i]!.toFixed(2)},`));
  console.log(
    `fitted to all: ${inWords(tally(common, weights))}; ${alike(weights)} fingered alike`,
  );
  console.log(`fitted to the other qualities only: ${inWords(tally(common, fit(others)))}`);
  const folds = Array.from({ length: FOLDS }, (_, fold) => {
    const isHeld = (example: Example) => example.root % FOLDS === fold;
    return tally(common.filter(isHeld), fit(all.filter((example) => !isHeld(example))));
  });
  const listed = folds.reduce((sum, fold) => sum + fold.listed, 0);
  const itself = folds.reduce((sum, fold) => sum + fold.itself, 0);
  console.log(
    `fitted to nine roots, asked of the other three, all four ways: ${inWords({ listed, itself })}`,
  );
}

function fit(lessons: readonly Example[]): Weights {
  return fitWeights({ examples: lessons, fingerings }, STARTS, dice(1)).weights;
}

interface Tally {
  readonly listed: number;
  readonly itself: number;
}

function tally(of: readonly Example[], weights: Weights): Tally {
  const standings = of.map((example) => standingOf(heldBy(example, weights), example.first));
  return {
    listed: standings.filter((s) => s.listed).length,
    itself: standings.filter((s) => s.itself).length,
  };
}

function alike(weights: Weights): number {
  const contests = fingerings.map((fingering) => fingeringContest(fingering, weights));
  return contests.filter((contest) => contest && contest.wanted.ease < contest.rival.ease).length;
}

function inWords({ listed, itself }: Tally): string {
  return `of 132 common chords ${listed} among our best three with variants, ${itself} without`;
}
