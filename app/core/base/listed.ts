// Words in a row, as a sentence lists them.

/** "a", "a and b", "a, b and c". */
export const listed = (words: readonly (string | number)[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
