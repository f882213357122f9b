// Cures for a bar whose beats do not add up: filled, shortened, parted, or back in the meter of its section.
import { beatsOf, printMeter } from '../../../rhythm/meter.ts';
import { type MistakePlace, headingAbove, meterAbove } from './cure.ts';
import { tradeWord } from './trade-words.ts';

/** Quoted, “a tempo”, in braces, in parentheses, or one word. */
const SIGNS = /["“][^"”]*["”]|\ba\s+tempo\b|\{[^}]*\}|\([^()]*\)|[^\s]+/gu;
/** What takes no beat: a meter, a mark of tempo with its number, a held beat, a remark, a strum. */
const NO_BEAT =
  /^(?:\d{1,2}\/\d{1,2}.*|(?:rit|rall|accel)\.?|=|to|\d+(?:\.\d+)?|a\s+tempo|fermata|\+\d+|["“{].*)$/iu;

/**
 * The bar with as many beats as its meter has, or with the word of the trade in our spelling; undefined where nobody
 * can know.
 */
export function beats(place: MistakePlace): string | undefined {
  const { typed, cure } = place;
  const slip = typed.split(/\s+/u).find((sign) => (tradeWord(sign) ?? sign) !== sign);
  if (slip !== undefined) return typed.replace(slip, tradeWord(slip)!);
  const alone = typed.replace(/(?<=^|\s)\(\s*([^\s()]+)\s*\)(?=\s|$)/gu, '$1');
  if (alone !== typed) return alone;
  const wanted = Number(/Write (\d+)/u.exec(cure)?.[1] ?? 0);
  const signs: readonly string[] = typed.match(SIGNS) ?? [];
  if (wanted === 0 || signs.includes('pickup') || /["“][^"”]*$/u.test(typed.replace(SIGNS, '')))
    return undefined;
  const count = signs.filter(takesBeat).length;
  // In 6/8 and its like a bar may be told in eighths, too.
  const { numerator, unit } = meterAbove(place.span.line - 1, place.lines);
  const inUnits = unit >= 8 && count > wanted && count < numerator;
  return backInMeter(place, count) ?? filled(signs, count, inUnits ? numerator : wanted);
}

const takesBeat = (sign: string): boolean => !NO_BEAT.test(sign);

function filled(signs: readonly string[], count: number, wanted: number): string | undefined {
  if (count < wanted)
    return [...signs, ...Array.from({ length: wanted - count }, () => '/')].join(' ');
  // One stroke too many is no bar of its own.
  const last = signs.filter(takesBeat).slice(wanted);
  if (last.length < wanted && last.every((sign) => /^[/.%]$/u.test(sign)))
    return withoutStrokes(signs, count - wanted);
  return inBars(signs, wanted).join(' | ');
}

/** Without so many strokes from the end on; marks between them stay. */
function withoutStrokes(signs: readonly string[], many: number): string {
  let left = many;
  const kept = signs.toReversed().filter((sign) => {
    const goes = left > 0 && takesBeat(sign);
    if (goes) left--;
    return !goes;
  });
  return kept.toReversed().join(' ');
}

/** Marks stand with the beat behind them, a held beat with the one before. */
function inBars(signs: readonly string[], wanted: number): readonly string[] {
  const bars: string[][] = [[]];
  let count = 0;
  for (const sign of signs) {
    const held = /^(?:fermata|\+\d+)$/iu.test(sign);
    if (count === wanted && !held) {
      bars.push([]);
      count = 0;
    }
    bars.at(-1)!.push(sign);
    if (takesBeat(sign)) count++;
  }
  const missing = Array.from({ length: wanted - count }, () => '/');
  return bars.map((bar, i) => [...bar, ...(i === bars.length - 1 ? missing : [])].join(' '));
}

/** One bar of another meter stands before, and this one is as long as the section's again: it says so. */
function backInMeter(
  { typed, span, line, lines }: MistakePlace,
  count: number,
): string | undefined {
  if (/^\d{1,2}\/\d/u.test(typed)) return undefined;
  const meter = meterAbove(span.line - 1, lines);
  if (beatsOf(meter).length !== count) return undefined;
  const above = lines.slice(headingAbove(span.line - 1, lines) + 1, span.line - 1);
  const before = [...above, line.slice(0, span.column - 1)];
  const changed = before.some((text) => /[|:\].]\s*\d{1,2}\/(?:2|4|8|16)(?=[\s(])/u.test(text));
  return changed ? `${printMeter(meter).replace(' ', '')} ${typed}` : undefined;
}
