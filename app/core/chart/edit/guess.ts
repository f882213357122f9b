// The mark that a line of bars was guessed from a sheet: a comment above it, which the writer takes away.

export const GUESS_MARK = 'bars guessed';

/** In the text: a comment with nothing but the mark. */
export const isGuessLine = (line: string): boolean =>
  line.trim().toLowerCase() === `# ${GUESS_MARK}`;
