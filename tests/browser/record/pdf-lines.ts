// The straight dark lines of a PDF as Chromium writes it: rectangles filled on its pages, in millimetres.
import { inflateSync } from 'node:zlib';

export interface Line {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

type Matrix = readonly [number, number, number, number, number, number];

const MM = 25.4 / 72;
const DARK = 0.5;

/** One list per content stream with drawing in it, which in Chromium's files is one per page. */
export function linesOf(pdf: Buffer): Line[][] {
  const text = pdf.toString('latin1');
  return [...text.matchAll(/stream\r?\n/g)].flatMap((found) => {
    const from = found.index + found[0].length;
    const stream = inflated(pdf.subarray(from, text.indexOf('endstream', from)));
    return / cm\n/.test(stream) && / re\n/.test(stream) ? [linesIn(stream)] : [];
  });
}

function inflated(bytes: Buffer): string {
  try {
    return inflateSync(bytes).toString('latin1');
  } catch {
    return '';
  }
}

/** Follows the operators of PDF 32000-1 that place and fill rectangles: q Q cm rg re f W n. */
function linesIn(stream: string): Line[] {
  const lines: Line[] = [];
  const saved: { matrix: Matrix; grey: number }[] = [];
  let state: { matrix: Matrix; grey: number } = { matrix: [1, 0, 0, 1, 0, 0], grey: 0 };
  let path: Line[] = [];
  let numbers: number[] = [];
  for (const token of stream.split(/\s+/)) {
    const number = Number(token);
    if (token !== '' && !Number.isNaN(number)) {
      numbers.push(number);
      continue;
    }
    if (token === 'q') saved.push(state);
    else if (token === 'Q') state = saved.pop() ?? state;
    else if (token === 'cm')
      state = { ...state, matrix: times(numbers.slice(-6) as never, state.matrix) };
    else if (token === 'rg') state = { ...state, grey: Math.max(...numbers.slice(-3)) };
    else if (token === 're') path.push(placed(numbers.slice(-4), state.matrix));
    else if (token === 'f' && state.grey < DARK) lines.push(...path);
    if (token === 'f' || token === 'n' || token === 'S') path = [];
    numbers = [];
  }
  return lines;
}

function times(a: Matrix, b: Matrix): Matrix {
  return [
    a[0] * b[0] + a[1] * b[2],
    a[0] * b[1] + a[1] * b[3],
    a[2] * b[0] + a[3] * b[2],
    a[2] * b[1] + a[3] * b[3],
    a[4] * b[0] + a[5] * b[2] + b[4],
    a[4] * b[1] + a[5] * b[3] + b[5],
  ];
}

function placed([x = 0, y = 0, width = 0, height = 0]: number[], m: Matrix): Line {
  return {
    x: (x * m[0] + y * m[2] + m[4]) * MM,
    y: (x * m[1] + y * m[3] + m[5]) * MM,
    width: Math.abs(width * m[0]) * MM,
    height: Math.abs(height * m[3]) * MM,
  };
}

/** Sets of six equally spaced parallel lines of one length: the strings of a tab. */
export function tabsOf(lines: readonly Line[]): Line[][] {
  const long = lines.filter(({ width, height }) => width > 15 && height < 0.6);
  const columns = Map.groupBy(long, ({ x, width }) => `${x.toFixed(1)} ${width.toFixed(1)}`);
  return [...columns.values()].flatMap((column) => {
    const down = column.toSorted((a, b) => b.y - a.y);
    const tabs: Line[][] = [];
    for (let i = 0; i + 5 < down.length; i++) {
      const six = down.slice(i, i + 6);
      const gaps = six.slice(1).map((line, k) => six[k]!.y - line.y);
      if (Math.max(...gaps) - Math.min(...gaps) > 0.5 || gaps[0]! > 4 || gaps[0]! < 1) continue;
      tabs.push(six);
      i += 5;
    }
    return tabs;
  });
}
