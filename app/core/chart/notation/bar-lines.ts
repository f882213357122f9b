// Cuts a typed line at its bar lines, and reads the repeats and endings that these carry.

/** Part of a typed line; `line` and `column` count from 1. */
export interface TextPart {
  readonly text: string;
  readonly line: number;
  readonly column: number;
}

/** One or more bar lines with nothing between them. */
export interface BarLine {
  readonly repeatEnd: boolean;
  readonly repeatStart: boolean;
  /** The number after :| x3. */
  readonly times?: number;
  readonly endings?: readonly number[];
}

export interface TypedBar extends TextPart {
  readonly before: BarLine;
  readonly after: BarLine;
}

const PLAIN_LINE: BarLine = { repeatEnd: false, repeatStart: false };

/** :| or |: or | or ||, then perhaps x3, then perhaps the numbers of an ending such as 1,2. */
const BAR_LINE =
  /(:?)\|+(:?)(?:\s*[x×](\d{1,3})(?=[\s|]|$))?(?:\s*(\d{1,3}(?:\s*,\s*\d{1,3})*)\.(?=\s|$))?/gu;

/** Bars of several typed lines, one after the other; a repeat may stand at a line's end or the next one's start. */
export function splitBars(lines: readonly TextPart[]): readonly TypedBar[] {
  const bars: TypedBar[] = [];
  let before = PLAIN_LINE;
  for (const typed of lines) {
    const { lead, bodies } = cutLine(typed);
    before = merge(before, lead);
    const last = bars.pop();
    if (last) bars.push({ ...last, after: merge(last.after, lead) });
    for (const { part, after } of bodies) {
      bars.push({ ...part, before, after });
      before = after;
    }
  }
  return bars;
}

interface Body {
  readonly part: TextPart;
  readonly after: BarLine;
}

/** A remark may hold any sign: it is blanked out, at its length, where lines are cut. */
export const withoutQuotes = (text: string): string =>
  text.replace(/["“][^"“”]*["”]/gu, (quoted) => 'x'.repeat(quoted.length));

/** A bar line missing at the end of the line is taken as written. */
function cutLine(typed: TextPart): { lead: BarLine; bodies: readonly Body[] } {
  const marks = [...withoutQuotes(typed.text).matchAll(BAR_LINE)];
  let lead = PLAIN_LINE;
  const bodies: Body[] = [];
  const read = marks.map(readBarLine);
  marks.forEach((mark, i) => {
    const from = mark.index + mark[0].length;
    const line = read[i]!;
    const next = read[i + 1];
    const last = bodies.pop();
    if (last) bodies.push({ ...last, after: merge(last.after, line) });
    else lead = merge(lead, line);
    const text = typed.text.slice(from, marks[i + 1]?.index);
    const forgotten = next && isPlain(line) && isPlain(next);
    if (text.trim() === '' && !forgotten) return;
    bodies.push({ part: trimmed(typed, text, from), after: PLAIN_LINE });
  });
  return { lead, bodies };
}

function readBarLine([, close, open, times, endings]: RegExpExecArray): BarLine {
  return {
    repeatEnd: close === ':',
    repeatStart: open === ':',
    ...(times !== undefined && { times: Number(times) }),
    ...(endings !== undefined && { endings: endings.split(',').map(Number) }),
  };
}

const isPlain = (line: BarLine): boolean =>
  !line.repeatEnd && !line.repeatStart && !line.endings && line.times === undefined;

function merge(a: BarLine, b: BarLine): BarLine {
  if (isPlain(a)) return b;
  if (isPlain(b)) return a;
  const times = a.times ?? b.times;
  const endings = a.endings ?? b.endings;
  return {
    repeatEnd: a.repeatEnd || b.repeatEnd,
    repeatStart: a.repeatStart || b.repeatStart,
    ...(times !== undefined && { times }),
    ...(endings !== undefined && { endings }),
  };
}

/** Does a line of bars begin with a pickup? */
export const startsWithPickup = (text: string): boolean =>
  /^:?\|+:?\s*(?:\d+\/\d+\S*\s+)?pickup\b/iu.test(text);

function trimmed(typed: TextPart, text: string, from: number): TextPart {
  const lead = text.length - text.trimStart().length;
  return { text: text.trim(), line: typed.line, column: typed.column + from + lead };
}
