// The strokes and rests of a bar as paper shows them: the pattern laid out, silent chords left blank.
import { type Rational, compare, ZERO } from '../../base/rational.ts';
import { SILENCE } from '../../chart/rules/head.ts';
import { type BarStroke, strokesInBar } from '../../rhythm/strum.ts';
import type { StrumPattern } from '../../model/chart.ts';
import type { SheetBar } from './sheet.ts';

/** Words for a section without a strum pattern after one with a pattern. */
export const PLAIN_STRUM = 'one stroke on each beat';

/** Words for a pattern over two bars that begins with the bar, as it is typed there. */
export const ownStrum = (words: string): string => `{${words}}`;

/** A stroke, or a rest that ends what sounds, until the next of them. */
export interface PaperStroke {
  /** Quarter notes from the start of the bar. */
  readonly at: Rational;
  readonly cell: BarStroke['cell'];
}

export type PaperBar = Pick<SheetBar, 'meter' | 'length' | 'pickup' | 'chords'>;

/** What goes on into a bar from the one before. */
export interface PaperBefore {
  /** The chord that the bar starts under. */
  readonly chord?: string;
  /** Does nothing sound any more? */
  readonly silent: boolean;
}

/** Before the first bar nothing sounds. */
export const NOTHING_BEFORE: PaperBefore = { silent: true };

/** What is printed over a bar: its strokes, and rests from where N.C. falls silent. Swing is not printed. */
export function strokesOnPaper(
  bar: PaperBar,
  strum: StrumPattern,
  before: PaperBefore,
): readonly PaperStroke[] {
  const strokes = strokesInBar({ ...bar, strum, feel: { kind: 'straight' } });
  const silences: PaperStroke[] = silentStarts(bar, before).map((at) => ({ at, cell: REST }));
  const heard = strokes.filter(({ at }) => chordAt(bar, before, at) !== SILENCE);
  const all = [...silences, ...heard.map(({ at, cell }) => ({ at, cell }))];
  return withoutIdleRests(
    all.toSorted((a, b) => compare(a.at, b.at)),
    before,
  );
}

const REST: PaperStroke['cell'] = { kind: 'rest' };

const silentStarts = ({ chords }: PaperBar, before: PaperBefore): readonly Rational[] => [
  ...(before.chord === SILENCE && chords[0]?.at.n !== 0 ? [ZERO] : []),
  ...chords.filter(({ symbol }) => symbol === SILENCE).map(({ at }) => at),
];

/** The chord that holds at a moment of a bar; undefined before the first chord of all. */
export const chordAt = (bar: PaperBar, before: PaperBefore, at: Rational): string | undefined =>
  bar.chords.findLast((chord) => compare(chord.at, at) <= 0)?.symbol ?? before.chord;

/** A rest where nothing sounds says nothing new. */
export function withoutIdleRests(
  strokes: readonly PaperStroke[],
  before: PaperBefore,
): readonly PaperStroke[] {
  let silent = before.silent;
  return strokes.filter(({ cell }) => {
    const idle = silent && cell.kind === 'rest';
    silent = cell.kind === 'rest';
    return !idle;
  });
}
