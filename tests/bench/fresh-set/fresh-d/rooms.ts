// Where people play at home: under rain on glass, beside a washing machine, a family, a band from the loudspeaker.
import type { Recipe } from '../recipe.ts';
import type { NoiseAtHome } from './noises.ts';

/** No other part has these rooms; levels are drawn anew for each take. */
export const ROOMS_AT_HOME = {
  conservatory: {
    ...{ rings: [0.4, 0.75], wet: [-11, -6], hiss: [-50, -40], swallows: [0.1, 0.3] },
    beside: { kind: 'rain on glass', level: [-28, -16] },
    hears: { low: [60, 120], high: [6_000, 12_000] },
  },
  laundry: {
    ...{ rings: [0.3, 0.55], wet: [-12, -7], hiss: [-50, -40] },
    beside: { kind: 'washing machine', level: [-28, -16] },
    hears: { low: [60, 120], high: [6_000, 11_000] },
  },
  'thin wall': {
    ...{ rings: [0.25, 0.5], wet: [-13, -8], hiss: [-50, -40] },
    beside: { kind: 'family', level: [-26, -14] },
    hears: { low: [50, 110], high: [7_000, 12_000] },
  },
  laptop: {
    ...{ rings: [0.35, 0.6], wet: [-7, -2], hiss: [-40, -30] },
    beside: { kind: 'laptop', level: [-36, -24] },
    hears: { low: [140, 260], high: [4_000, 7_500] },
    automatic: { down: 0.05, up: 0.8, takes: 0.5 },
  },
  bathroom: {
    ...{ rings: [0.7, 1.2], wet: [-8, -4], hiss: [-50, -40], swallows: [0.03, 0.12] },
    beside: { kind: 'bathroom', level: [-36, -24] },
    hears: { low: [60, 120], high: [7_000, 12_000] },
  },
  den: {
    ...{ rings: [0.25, 0.5], wet: [-13, -8], hiss: [-48, -38] },
    beside: { kind: 'band', level: [-34, -23] },
    clicks: { level: [-22, -6], way: [0.001, 0.012] },
    hears: { low: [70, 160], high: [5_500, 11_000] },
  },
} as const satisfies Readonly<Record<string, Recipe<NoiseAtHome>>>;
