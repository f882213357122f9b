// What a chart says of its band, in the few words the trade uses; what it does not say, the band finds itself.

/** How the drums play. 'kit' is the usual; 'rim' a cross-stick for the snare; 'hats' keeps time alone. */
export const DRUMS_WORDS = ['off', 'kit', 'brushes', 'rim', 'hats', 'half-time'] as const;
export type DrumsWord = (typeof DRUMS_WORDS)[number];

/** How the bass plays. 'fifths' is the usual: roots, fifths and approach tones. */
export const BASS_WORDS = ['off', 'roots', 'fifths', 'walking'] as const;
export type BassWord = (typeof BASS_WORDS)[number];

/** How loud the whole band plays, or that it does not. */
export const BAND_LEVELS = ['off', 'soft', 'medium', 'loud'] as const;
export type BandLevel = (typeof BAND_LEVELS)[number];

/** As typed: `drums: brushes`, `bass: roots`, `band: soft`. A section's words stand above the chart's, each by itself. */
export interface BandWords {
  readonly drums?: DrumsWord;
  readonly bass?: BassWord;
  readonly level?: BandLevel;
}
