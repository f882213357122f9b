// Sheets that mark chords inside the words by other signs than square brackets: they are read as if they had these.

const CHORD = String.raw`([A-Ha-h][^()\[\]{}<>*_\s]{0,11})`;

/** Pairs of signs, one kind to a sheet, by the sign that opens them. */
const MARKS: readonly { readonly sign: string; readonly pair: RegExp }[] = [
  String.raw`\(${CHORD}\)`,
  String.raw`\{${CHORD}\}`,
  String.raw`<(?:b|i|em|sup|strong|span)\b[^<>]*>${CHORD}</\w+>`,
  `<${CHORD}>`,
  String.raw`\*\*${CHORD}\*\*`,
  String.raw`\*${CHORD}\*`,
  `__${CHORD}__`,
  `_${CHORD}_`,
].map((pair) => ({ sign: pair.replace('\\', '').charAt(0), pair: new RegExp(pair, 'gu') }));

/** Lines with a marked chord right before a letter; fewer may be a remark. */
const FEWEST = 2;

/** @param isChord tells whether what stands between the signs can be a chord. */
export function inSquareBrackets(
  lines: readonly string[],
  isChord: (text: string) => boolean,
): readonly string[] {
  const touches = (line: string, { sign, pair }: (typeof MARKS)[number]): boolean =>
    line.includes(sign) &&
    [...line.matchAll(pair)].some(
      ({ 0: whole, 1: text, index }) =>
        isChord(text!) && /^\p{L}/u.test(line.slice(index + whole.length)),
    );
  const mark = MARKS.find((one) => lines.filter((line) => touches(line, one)).length >= FEWEST);
  if (!mark) return lines;
  return lines.map((line) =>
    line.replace(mark.pair, (whole, text: string) => (isChord(text) ? `[${text}]` : whole)),
  );
}
