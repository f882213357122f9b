// Reads all lines of a sheet together: of all ways to read them, the one against which least speaks.
import type { Line, Reading } from './line.ts';
import type { Manner } from './manner.ts';
import { readingsOf } from './readings.ts';

/** What stood before, as far as it matters for what may follow. */
type State = 'top' | 'about' | 'heading' | 'row' | 'words' | 'inline' | 'bars' | 'foot';

/** What speaks against one kind behind another, with and without an empty line between them. */
const BEHIND: Readonly<
  Record<State, Readonly<Record<string, readonly [near: number, apart: number]>>>
> = {
  top: {
    about: [0, 0],
    heading: [0.8, 0.8],
    row: [1.6, 1.6],
    inline: [1.4, 1.4],
    bars: [1.4, 1.4],
    words: [4, 4],
  },
  about: {
    about: [0.3, 0.4],
    heading: [0.3, 0],
    row: [1.2, 0.9],
    inline: [1, 0.7],
    bars: [1, 0.7],
    words: [5, 5],
  },
  heading: {
    heading: [0.9, 0.6],
    row: [0, 0.1],
    inline: [0, 0.1],
    bars: [0, 0.1],
    words: [0.5, 0.7],
  },
  row: {
    foot: [9, 1.5],
    heading: [0.5, 0],
    row: [0.7, 0.5],
    inline: [0.5, 0.3],
    bars: [0.3, 0.3],
    words: [0, 1.5],
  },
  words: {
    foot: [9, 1.5],
    heading: [0.7, 0],
    row: [0, 0],
    inline: [0.3, 0],
    bars: [0.2, 0.1],
    words: [0.6, 1.9],
  },
  foot: { foot: [0, 0] },
  inline: {
    foot: [9, 1.5],
    heading: [0.5, 0],
    row: [0.8, 0.4],
    inline: [0, 0],
    bars: [0.2, 0.1],
    words: [0.4, 1.7],
  },
  bars: {
    foot: [9, 1.5],
    heading: [0.4, 0],
    row: [0.8, 0.4],
    inline: [0.3, 0.2],
    bars: [0, 0],
    words: [0.2, 1.9],
  },
};

/** What cannot follow: nothing of the song below its foot, no title inside it. */
const IMPOSSIBLE = 40;

interface Path {
  readonly cost: number;
  readonly reading?: Reading;
  readonly before?: Path;
}

/** One reading for each line. */
export function decide(lines: readonly Line[], manner: Manner): readonly Reading[] {
  let paths = new Map<State, Path>([['top', { cost: 0 }]]);
  lines.forEach((line, i) => {
    const next = new Map<State, Path>();
    const readings = readingsOf(line, lines[i + 1], lines[i - 1], manner);
    for (const [state, before] of paths) {
      for (const reading of readings) {
        const [step, to] = stepTo(state, reading, line);
        const cost = before.cost + reading.cost + step;
        if (cost < (next.get(to)?.cost ?? Infinity)) next.set(to, { cost, reading, before });
      }
    }
    paths = next;
  });
  const best = [...paths.values()].toSorted((a, b) => a.cost - b.cost)[0];
  const out: Reading[] = [];
  for (let path = best; path?.reading; path = path.before) out.push(path.reading);
  return out.toReversed();
}

/** Fields and what is left out change nothing; a line of words may carry its label under the row of its chords. */
function stepTo(state: State, reading: Reading, line: Line): readonly [cost: number, to: State] {
  const { kind, rest } = reading;
  if (kind === 'field' || kind === 'left') return [0, state];
  const column = line.gap ? 1 : 0;
  if (kind === 'heading' && rest === 'words' && state === 'row' && !line.gap) return [0.1, 'words'];
  const step = BEHIND[state][kind]?.[column] ?? IMPOSSIBLE;
  // The first line is the title, if an empty line parts it from the song.
  const untitled =
    state === 'top' && kind === 'heading' && line.open && reading.label?.frame !== 'square'
      ? 1.6
      : 0;
  // A section that comes again is complete with its name.
  const complete = kind === 'heading' && rest === undefined && reading.label?.again;
  return [step + untitled, rest ?? (complete ? 'words' : (kind as State))];
}
