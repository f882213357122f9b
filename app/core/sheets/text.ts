// A pasted text as numbered lines: one kind of line ends, spaces and tabs, and no empty line behind every line.

/** How many lines stay known: a sheet that is typed is read anew with every letter, and most of its lines are as before. */
export const MOST_KNOWN = 2_000;

/** Longest sheet that is looked at, in lines, and longest line; the rest is left out. */
const MAX_LINES = 5_000;
const MAX_COLUMNS = 400;

export interface NumberedLine {
  readonly text: string;
  /** In the sheet, from 1. */
  readonly number: number;
}

/** Columns from one tab stop to the next, the likeliest first (common practice, no source). */
export const TAB_STOPS: readonly number[] = [8, 4, 2];

/** Lines without their line ends; a tab leads to the next stop. */
export function linesOf(text: string, stops: number): readonly string[] {
  return unquoted(text)
    .replace(/^\uFEFF/u, '')
    .split(/\r\n|\n|\r|\f/u)
    .slice(0, MAX_LINES)
    .map((line) => withoutTabs(plain(line), stops).trimEnd().slice(0, MAX_COLUMNS));
}

/** With one kind of spaces and of bar lines, without what cannot be seen and without signs for code. */
function plain(line: string): string {
  const visible = /^[\t\x20-\x7e]*$/u.test(line)
    ? line
    : line
        .normalize('NFC')
        .replace(/[\u200B-\u200D\u2060]/gu, '')
        .replace(/[\u00A0\u2000-\u200A\u202F]/gu, ' ')
        .replaceAll('｜', '|');
  return visible.includes('`') ? visible.replace(/^(\s*)`+|`+\s*$/gu, '$1') : visible;
}

/** The signs before every line of a letter that is answered. */
function unquoted(text: string): string {
  const full = text.match(/^.*\S.*$/gmu) ?? [];
  const quoted = full.filter((line) => /^\s*>/u.test(line)).length;
  return full.length > 4 && quoted > full.length * 0.9 ? text.replace(/^[ \t]*> ?/gmu, '') : text;
}

function withoutTabs(line: string, stops: number): string {
  if (!line.includes('\t')) return line;
  let out = '';
  for (const sign of line) out += sign === '\t' ? ' '.repeat(stops - (out.length % stops)) : sign;
  return out;
}

/**
 * Text from pages often has an empty line behind every line, or behind all but the headings: there it parts nothing,
 * and is passed over. Where chords stand over their words at least half of the lines touch the next one.
 */
export function singleSpaced(lines: readonly string[]): readonly NumberedLine[] {
  const numbered = lines.map((text, i) => ({ text, number: i + 1 }));
  const full = numbered.filter(({ text }) => text.trim() !== '');
  const together = full.filter(({ number }, k) => full[k + 1]?.number === number + 1).length;
  if (full.length < 6 || together > full.length * 0.3) return numbered;
  return numbered.filter(({ text }, i) => text.trim() !== '' || lines[i - 1]?.trim() === '');
}
