// Tells pinned shapes whose notes are not their chord, where they are typed; a deliberate one is kept with "!".
import { strangersIn, strangerWords } from '../../fretboard/check.ts';
import { chordIn, inNames } from '../../harmony/note-names.ts';
import type { ChartBody, Frets, Tuning } from '../../model/chart.ts';
import type { SoundingChord } from '../../model/chord.ts';
import type { Problem, TextSpan } from '../../base/result.ts';

/** Where each chord of each bar of each section is typed. */
interface ChordPlaces {
  readonly sections: readonly {
    readonly bars: readonly { readonly chords: readonly TextSpan[] }[];
  }[];
}

/**
 * Nothing is refused for them: each says which string sounds what, and its remedy keeps the shape as it is. Only
 * notes that are not in the chord count; leaving one out, or another one lowest, is a matter of taste.
 */
export function pinWarnings(
  text: string,
  chart: ChartBody,
  places: ChordPlaces,
): readonly Problem[] {
  const lines = text.split('\n');
  const check = checkOf(chart);
  return [...headWarnings(lines, chart, check), ...barWarnings(lines, chart, places, check)];
}

/** What is wrong with a shape, in a sentence; undefined where all its notes are in the chord. */
type Check = (symbol: string, frets: Frets) => string | undefined;

/** A shape that is pinned in many bars is looked at once. */
function checkOf({ names, tuning }: ChartBody): Check {
  const known = new Map<string, string | undefined>();
  return (symbol, frets) => {
    const key = `${symbol} ${frets.join()}`;
    if (!known.has(key)) {
      const chord = chordIn(symbol, names);
      known.set(key, chord.kind === 'chord' ? wrongNote(frets, chord, tuning) : undefined);
    }
    return known.get(key);
  };
}

function wrongNote(frets: Frets, chord: SoundingChord, tuning: Tuning): string | undefined {
  const [stranger] = strangersIn(frets, chord, tuning);
  return stranger && strangerWords(stranger, chord);
}

/** "shape Bm = x24432" at the top. */
const HEAD_LINE = /^\s*shape\s+([^\s=]+)\s*=\s*([^\s!]+)/u;

function headWarnings(lines: readonly string[], chart: ChartBody, check: Check): Problem[] {
  return lines.flatMap((line, i) => {
    const [whole, symbol] = HEAD_LINE.exec(line) ?? [];
    const shape = chart.shapes.find((one) => inNames(one.symbol, chart.names) === symbol);
    if (whole === undefined || !shape || shape.kept) return [];
    const column = whole.length - whole.trimStart().length + 1;
    const span = { line: i + 1, column, length: whole.length - column + 1 };
    return warningsOf(check(shape.symbol, shape.frets), span, whole.length + 1);
  });
}

function barWarnings(
  lines: readonly string[],
  chart: ChartBody,
  places: ChordPlaces,
  check: Check,
): Problem[] {
  return chart.sections.flatMap((section, s) =>
    section.bars.flatMap(({ content }, b) =>
      (content.kind === 'chords' ? content.chords : []).flatMap(({ symbol, shape, kept }, c) => {
        const span = places.sections[s]?.bars[b]?.chords[c];
        if (!shape || kept || !span) return [];
        const typed = lines[span.line - 1]?.slice(span.column - 1, span.column - 1 + span.length);
        const end = typed?.indexOf(']') ?? -1;
        return end < 0 || !typed!.replace(/^~/u, '').startsWith(inNames(symbol, chart.names))
          ? []
          : warningsOf(check(symbol, shape), span, span.column + end);
      }),
    ),
  );
}

/** @param end Column at which "!" keeps the shape. */
function warningsOf(wrong: string | undefined, span: TextSpan, end: number): Problem[] {
  if (wrong === undefined) return [];
  return [
    {
      code: 'pin-wrong',
      message: wrong.replace(/\.$/, ''),
      cure: 'Correct the frets, or keep it if it is meant so.',
      span,
      remedy: {
        label: 'Keep it',
        edits: [{ line: span.line, column: end, length: 0, text: '!' }],
      },
    },
  ];
}
