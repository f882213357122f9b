// Sheets that set chords in parentheses inside the words: they are read as if they stood in square brackets.

const CHORD = /\(([A-Ha-h][^()\s]{0,11})\)/gu;

/** Lines with a chord in parentheses right before a letter; fewer may be a remark. */
const FEWEST = 2;

/** @param isChord tells whether what stands in parentheses can be a chord. */
export function inSquareBrackets(
  lines: readonly string[],
  isChord: (text: string) => boolean,
): readonly string[] {
  const chordsIn = (line: string): RegExpExecArray[] =>
    [...line.matchAll(CHORD)].filter(([, text]) => isChord(text!));
  const touches = (line: string): boolean =>
    chordsIn(line).some((match) => /^\p{L}/u.test(line.slice(match.index + match[0].length)));
  if (lines.filter(touches).length < FEWEST) return lines;
  return lines.map((line) =>
    line.replace(CHORD, (whole, text: string) => (isChord(text) ? `[${text}]` : whole)),
  );
}
