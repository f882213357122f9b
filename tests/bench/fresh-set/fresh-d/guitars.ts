// Guitars that no training, no choice and no other part has met: see README.md.
import { BANK_RATE, type Source } from '../../ear-set/bank.ts';
import { stringGuitar } from '../../ear-set/string-model.ts';
import type { Guitar } from '../model.ts';
import { type Making, waveguideGuitar } from '../waveguide.ts';
import { gridGuitar } from './grid-string.ts';
import { pocketGuitar } from './pocket.ts';

const pocket = (program: number): Source => ({ notes: pocketGuitar(program) });
const waveguide = (seed: number, making: Making): Source => ({
  notes: waveguideGuitar(seed, making, BANK_RATE),
});
const grid = (seed: number, electric: boolean): Source => ({
  notes: gridGuitar(seed, electric, BANK_RATE),
});

/** Darker, plucked nearer to the middle and ringing longer than the training's sums of partials ever are. */
const PARLOUR = {
  ...{ pick: 0.44, pickup: null, stiffness: 8e-5, rings: 9, slope: 1.65, bright: 1_900 },
  ...{ rise: 0.0012, beat: 1.9, second: 0.8, drive: 0 },
};

export const GUITARS_AT_HOME = {
  'pocket-nylon': { source: pocket(24) },
  'pocket-steel': { source: pocket(25) },
  'pocket-hollow': { source: pocket(26) },
  'pocket-driven': { source: pocket(27), drive: [1.5, 7], transistors: true },
  'strings-worn': { source: waveguide(51, 'worn') },
  'strings-fingertips': { source: waveguide(52, 'fingertips') },
  'strings-courses': { source: waveguide(53, 'courses'), pairs: true },
  'grid-fingertips': { source: grid(61, false) },
  'grid-electric': { source: grid(62, true), drive: [0.5, 2.5], transistors: true },
  'partials-parlour': { source: { notes: stringGuitar(93, BANK_RATE, PARLOUR) } },
} as const satisfies Readonly<Record<string, Guitar>>;
