// Bars in the typed text: kept in one piece where a line wraps, in one row where words stand under them,
// and the lines around the bar at the cursor marked.
import { type EditorState, type Line, RangeSetBuilder, type Text } from '@codemirror/state';
import { Decoration, type DecorationSet, type EditorView, ViewPlugin } from '@codemirror/view';

const oneBar = Decoration.mark({ class: 'cm-oneBar' });
const oneRow = Decoration.line({ class: 'cm-oneRow' });
const barLine = Decoration.mark({ class: 'cm-barLine' });

/** A line of bars, or of words under them. */
const WITH_BARS = /^\s*(?:(?:words(?:\s+\d+)?|part\s[^:|]*|bars?\s+\w+)\s*:\s*)?:?\|/iu;
const WORDS = /^\s*words(?:\s+\d+)?\s*:/iu;
const BAR_LINE = /:?\|[|:]*/gu;

interface Bar {
  readonly from: number;
  readonly to: number;
}

/** Each bar with the line before it, without the room behind it; in the document. */
export function barsOfLine({ text, from }: Pick<Line, 'text' | 'from'>): readonly Bar[] {
  if (!WITH_BARS.test(text)) return [];
  const starts = [...text.matchAll(BAR_LINE)].map(({ index }) => index);
  return starts.map((start, i) => {
    const whole = text.slice(start, starts[i + 1]).trimEnd();
    return { from: from + start, to: from + start + whole.length };
  });
}

/** The bar lines on either side of a place; none where it is in no bar. */
export function linesAround(line: Pick<Line, 'text' | 'from'>, at: number): readonly Bar[] {
  if (!WITH_BARS.test(line.text)) return [];
  const marks = [...line.text.matchAll(BAR_LINE)].map(({ 0: sign, index }) => ({
    from: line.from + index,
    to: line.from + index + sign.length,
  }));
  const before = marks.findLast(({ to }) => to <= at);
  const after = marks.find(({ from }) => from >= at);
  return before && after && before !== after ? [before, after] : [];
}

/** Words and the bars above them stand under each other by columns: wrapped, they would not. */
export function isOneRow(doc: Text, { text, number }: Pick<Line, 'text' | 'number'>): boolean {
  if (WORDS.test(text)) return true;
  return WITH_BARS.test(text) && number < doc.lines && WORDS.test(doc.line(number + 1).text);
}

function drawn(view: EditorView): DecorationSet {
  const { state } = view;
  const builder = new RangeSetBuilder<Decoration>();
  const head = state.selection.main.head;
  for (const line of visibleLines(view, state)) {
    const inOneRow = isOneRow(state.doc, line);
    if (inOneRow) builder.add(line.from, line.from, oneRow);
    const marks = head >= line.from && head <= line.to ? linesAround(line, head) : [];
    const spans = [
      ...(inOneRow ? [] : barsOfLine(line).map((bar) => ({ ...bar, mark: oneBar }))),
      ...marks.map((mark) => ({ ...mark, mark: barLine })),
    ];
    for (const { from, to, mark } of spans.toSorted((a, b) => a.from - b.from || b.to - a.to))
      if (to > from) builder.add(from, to, mark);
  }
  return builder.finish();
}

function visibleLines(view: EditorView, { doc }: EditorState): readonly Line[] {
  const lines: Line[] = [];
  for (const { from, to } of view.visibleRanges)
    for (let at = from; at <= to;) {
      const line = doc.lineAt(at);
      if (lines.at(-1)?.number !== line.number) lines.push(line);
      at = line.to + 1;
    }
  return lines;
}

export const barsInText = ViewPlugin.define(
  (view) => ({
    decorations: drawn(view),
    update(update) {
      if (update.docChanged || update.selectionSet || update.viewportChanged)
        this.decorations = drawn(update.view);
    },
  }),
  { decorations: ({ decorations }) => decorations },
);
