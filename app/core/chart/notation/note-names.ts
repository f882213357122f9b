// A chart's symbols and key as its text names notes, and as the model does: international everywhere.
import { fromNames, inNames, keyFromNames, keyInNames } from '../../harmony/note-names.ts';
import type { Bar, ChartBody } from '../../model/chart.ts';

/** The chart with the names that its text has. */
export const asTyped = (chart: ChartBody): ChartBody =>
  renamed(
    chart,
    (symbol) => inNames(symbol, chart.names),
    (key) => keyInNames(key, chart.names),
  );

/** The chart read from a text, in international names. */
export const asModelled = (typed: ChartBody): ChartBody =>
  renamed(
    typed,
    (symbol) => fromNames(symbol, typed.names),
    (key) => keyFromNames(key, typed.names),
  );

function renamed(
  chart: ChartBody,
  rename: (symbol: string) => string,
  renameKey: (key: string) => string,
): ChartBody {
  if (!chart.names) return chart;
  const bars = (all: readonly Bar[]): readonly Bar[] =>
    all.map((bar) =>
      bar.content.kind === 'simile'
        ? bar
        : {
            ...bar,
            content: {
              kind: 'chords',
              chords: bar.content.chords.map((at) => ({ ...at, symbol: rename(at.symbol) })),
            },
          },
    );
  return {
    ...chart,
    ...(chart.key !== undefined && { key: renameKey(chart.key) }),
    shapes: chart.shapes.map((shape) => ({ ...shape, symbol: rename(shape.symbol) })),
    sections: chart.sections.map((section) => ({ ...section, bars: bars(section.bars) })),
    form: chart.form.map((entry) =>
      entry.ending
        ? { ...entry, ending: { ...entry.ending, bars: bars(entry.ending.bars) } }
        : entry,
    ),
  };
}
