// What may stand for one syllable of the words.

/** "@3" the third beat, "@3&" half a beat later, "@3e" and "@3a" a quarter and three quarters, "@3+1/3". */
export const WORD_PLACE = /^@(\d{1,3})(?:([&ea])|\+(\d{1,2})\/(\d{1,2}))?$/u;

/** No spaces, no signs that part words or bars, and nothing that reads as a place. */
export const isSyllable = (text: string): boolean =>
  /^[^\s|-][^\s|]*$/u.test(text) && !text.includes('\u0001') && !WORD_PLACE.test(text);
