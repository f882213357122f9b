// Arbitrary charts of chords, strokes and signs alone, for what takes nothing else along.
/* eslint-disable @typescript-eslint/no-unused-vars -- fields are taken off by naming them */
import type { Bar, ChartBody, StrumPattern } from '../../../app/core/model/chart.ts';
import { charts } from './arbitrary.ts';

/** The same without what is said to people and without marks of time and touch: chords, strokes and signs alone. */
export const plainCharts = charts.map(withoutMarks);

function withoutMarks({
  by: _by,
  fields: _fields,
  comments: _comments,
  ...chart
}: ChartBody): ChartBody {
  return {
    ...chart,
    sections: chart.sections.map(
      ({ remarks: _remarks, comments: _above, like: _like, ...section }) => ({
        ...section,
        ...(section.strum && { strum: plainStrum(section.strum) }),
        bars: section.bars.map(plainBar),
      }),
    ),
    form: chart.form.map(({ comments: _above, ...entry }) =>
      entry.ending
        ? { ...entry, ending: { ...entry.ending, bars: entry.ending.bars.map(plainBar) } }
        : entry,
    ),
  };
}

function plainBar(bar: Bar): Bar {
  const { words, remark, comments, pace, fermata, ...rest } = bar;
  const { content, strum } = rest;
  return {
    ...rest,
    ...(strum && { strum: plainStrum(strum) }),
    content:
      content.kind === 'simile'
        ? content
        : {
            kind: 'chords',
            chords: content.chords.map(({ remark: _r, slide: _s, ...chord }) => chord),
          },
  };
}

const plainStrum = ({ grid, cells: signs }: StrumPattern): StrumPattern => ({
  grid,
  cells: signs.map((cell) => {
    if (cell.kind !== 'stroke') return cell;
    const { touch: _touch, ...plain } = cell;
    return plain;
  }),
});
