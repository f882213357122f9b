// Sheets that mark chords inside the words by other signs than square brackets: they are read as if they had these.

const CHORD = String.raw`([A-Ha-h][^()\[\]{}<>*_\s]{0,11})`;

/** Pairs of signs, one kind to a sheet. */
const MARKS: readonly RegExp[] = [
  String.raw`\(${CHORD}\)`,
  String.raw`\{${CHORD}\}`,
  String.raw`<(?:b|i|em|sup|strong|span)\b[^<>]*>${CHORD}</\w+>`,
  `<${CHORD}>`,
  String.raw`\*\*${CHORD}\*\*`,
  String.raw`\*${CHORD}\*`,
  `__${CHORD}__`,
  `_${CHORD}_`,
].map((pair) => new RegExp(pair, 'gu'));

/** Lines with a marked chord right before a letter; fewer may be a remark. */
const FEWEST = 2;

/** @param isChord tells whether what stands between the signs can be a chord. */
export function inSquareBrackets(
  lines: readonly string[],
  isChord: (text: string) => boolean,
): readonly string[] {
  const touches = (line: string, mark: RegExp): boolean =>
    [...line.matchAll(mark)].some(
      ({ 0: whole, 1: text, index }) =>
        isChord(text!) && /^\p{L}/u.test(line.slice(index + whole.length)),
    );
  const mark = MARKS.find((one) => lines.filter((line) => touches(line, one)).length >= FEWEST);
  if (!mark) return lines;
  return lines.map((line) =>
    line.replace(mark, (whole, text: string) => (isChord(text) ? `[${text}]` : whole)),
  );
}
