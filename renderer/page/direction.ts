// Names written from right to left within sentences from left to right: set apart, so that neither turns the other round.

/** Letters of Hebrew, Arabic, Syriac, Thaana, N'Ko and their forms (Unicode Standard Annex 9, classes R and AL). */
const FROM_THE_RIGHT = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff]/;
/** First strong isolate and its end (the same annex). */
const APART = '\u2068';
const END = '\u2069';

/** With signs that nobody sees, where it needs them. */
export const setApart = (name: string): string =>
  FROM_THE_RIGHT.test(name) ? `${APART}${name}${END}` : name;

/** Without those signs, for files. */
export const withoutSigns = (words: string): string =>
  words.replaceAll(APART, '').replaceAll(END, '');
