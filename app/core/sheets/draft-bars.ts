// Lines of a read sheet as typed bars: chords on their beats, repeats and endings, the words under them.
import type { BarLine } from '../chart/notation/bar-lines.ts';
import { GUESS_MARK } from '../chart/edit/guess.ts';
import { isSyllable } from '../chart/rules/syllable.ts';
import type { Meter } from '../model/chart.ts';
import { MAX_REPEATS } from '../model/limits.ts';
import { beatsOf } from '../rhythm/meter.ts';
import type { DraftBar, SheetLine } from './model.ts';

const BARS_PER_LINE = 4;

/** The lines of one section, four bars to a line, words under their bars. */
export function linesOfBars(lines: readonly SheetLine[], meter: Meter): readonly string[] {
  const closed = withClosedRepeats(lines);
  const out: string[] = [];
  let stray: string[] = [];
  for (const line of closed) {
    if (line.bars.length === 0) {
      stray.push(line.words);
      continue;
    }
    out.push(...stray.map((words) => `# ${words}`));
    stray = [];
    out.push(...lineText(line, meter));
  }
  return [...out, ...stray.map((words) => `# ${words}`)];
}

function lineText({ bars, times }: SheetLine, meter: Meter): string[] {
  const out: string[] = [];
  const repeats = times > 1 ? Math.min(MAX_REPEATS, times) : 1;
  for (let from = 0; from < bars.length; from += BARS_PER_LINE) {
    const part = bars.slice(from, from + BARS_PER_LINE);
    const first = repeats > 1 && from === 0;
    const last = repeats > 1 && from + BARS_PER_LINE >= bars.length;
    const signs = part.map((bar) => `${barText(bar, meter)}${remarkText(bar)}`);
    const lead = first ? '|:' : opening(part[0]!.before);
    const typed = signs.map((text, i) => {
      const mark = part[i]!.after;
      const end = i === signs.length - 1;
      return `${text} ${end ? (last ? closingOf(true, repeats) : closing(mark)) : between(mark)}`;
    });
    if (part.some((bar) => bar.guessed)) out.push(`# ${GUESS_MARK}`);
    out.push(`${lead} ${typed.join(' ')}`);
    if (part.some((bar) => bar.words !== ''))
      out.push(`words: | ${part.map((bar) => wordsText(bar.words)).join(' | ')} |`);
  }
  return out;
}

const endingOf = (mark: BarLine | undefined): string =>
  mark?.endings ? `${mark.endings.join(',')}.` : '';
const opening = (mark: BarLine | undefined): string =>
  `${mark?.repeatStart ? '|:' : '|'}${endingOf(mark)}`;
const closingOf = (ends: boolean, times = 2): string =>
  ends ? `:|${times === 2 ? '' : ` x${Math.min(MAX_REPEATS, times)}`}` : '|';
const closing = (mark: BarLine | undefined): string =>
  closingOf(mark?.repeatEnd === true, mark?.times);
const between = (mark: BarLine | undefined): string =>
  mark?.repeatEnd && mark.repeatStart
    ? `${closing(mark)} |:${endingOf(mark)}`
    : `${mark?.repeatStart ? '|:' : closing(mark)}${endingOf(mark)}`;

/** A repeat that nobody closes ends where the next one starts, or with its section. */
function withClosedRepeats(lines: readonly SheetLine[]): readonly SheetLine[] {
  const bars = lines.flatMap((line) => line.bars);
  const unclosed = new Set<DraftBar>();
  let open = false;
  bars.forEach((bar, i) => {
    open = (open || bar.before?.repeatStart === true) && bar.after?.repeatEnd !== true;
    const next = bars[i + 1];
    if (open && (!next || next.before?.repeatStart)) {
      unclosed.add(bar);
      open = false;
    }
  });
  if (unclosed.size === 0) return lines;
  const close = (bar: DraftBar): DraftBar =>
    unclosed.has(bar)
      ? { ...bar, after: { repeatStart: false, ...bar.after, repeatEnd: true } }
      : bar;
  return lines.map((line) => ({ ...line, bars: line.bars.map(close) }));
}

/** The same lines without what their bar lines say: each is played as it stands. */
export const withoutRepeats = (lines: readonly SheetLine[]): readonly SheetLine[] =>
  lines.map((line) => ({
    ...line,
    bars: line.bars.map(({ before: _, after: __, ...bar }) => bar),
  }));

const remarkText = ({ remark }: DraftBar): string => (remark ? ` "${remark}"` : '');

/** Chords share their bar as evenly as its beats allow; what was written with beats keeps them. */
function barText({ chords }: DraftBar, meter: Meter): string {
  if (chords.length === 1 && chords[0] !== '/') return chords[0]!;
  const beats = beatsOf(meter).length;
  if (chords.length === beats || chords.length <= 1) return chords.join(' ');
  const written = chords.includes('/') ? onBeats(chords, beats, meter.numerator) : undefined;
  if (written) return written.join(' ');
  const symbols = chords.filter((sign) => sign !== '/' && sign !== '%');
  if (symbols.length === 0) return chords.includes('%') ? '%' : '/';
  if (symbols.length === 1) return symbols[0]!;
  const share = Math.max(1, Math.floor(beats / symbols.length));
  if (symbols.length > beats)
    return `(${symbols.slice(0, symbols.length - beats + 1).join(' ')}) ${symbols.slice(symbols.length - beats + 1).join(' ')}`.trim();
  return symbols
    .map((symbol, i) => {
      const length = i === symbols.length - 1 ? beats - share * (symbols.length - 1) : share;
      return [symbol, ...Array.from({ length: length - 1 }, () => '/')].join(' ');
    })
    .join(' ');
}

/** Signs that count beats, halves of them or several at once; undefined where they count nothing of the kind. */
function onBeats(
  chords: readonly string[],
  beats: number,
  units: number,
): readonly string[] | undefined {
  if (chords.includes('%')) return undefined;
  if (chords.length === units) return chords;
  const first = chords.find((sign) => sign !== '/');
  if (chords.every((sign, i) => (i === 0 ? sign !== '/' : sign === '/'))) return [first!];
  if (beats % chords.length === 0) {
    const length = beats / chords.length;
    return chords.flatMap((sign) => [sign, ...Array.from({ length: length - 1 }, () => '/')]);
  }
  const finer = chords.length / beats;
  if (!Number.isInteger(finer)) return undefined;
  return Array.from({ length: beats }, (_, beat) => {
    const within = chords.slice(beat * finer, (beat + 1) * finer);
    return within.slice(1).every((sign) => sign === '/') ? within[0]! : `(${within.join(' ')})`;
  });
}

/**
 * The meter that the beats of written bars tell where no line does: all bars with strokes have as many signs. Three, five,
 * six and seven say something; four is what is taken anyway, and two and eight fit it.
 */
export function meterOfBeats(lines: readonly SheetLine[]): string | undefined {
  const counts = lines.flatMap(({ bars }) =>
    bars
      .filter(({ chords, guessed }) => !guessed && chords.length > 2 && chords.includes('/'))
      .map(({ chords }) => chords.length),
  );
  const told = new Map([
    [3, '3/4'],
    [5, '5/4'],
    [6, '6/8'],
    [7, '7/8'],
  ]).get(counts[0] ?? 0);
  return counts.length > 1 && counts.every((count) => count === counts[0]) ? told : undefined;
}

/** Hyphens between syllables stay; a sign that would mean something else is left out. */
const wordsText = (words: string): string =>
  words
    .replaceAll('|', ' ')
    .split(/\s+/u)
    .filter((word) => word === '' || isSyllable(word.replace(/^-+/u, '')) || /^-+$/u.test(word))
    .join(' ')
    .trim();
