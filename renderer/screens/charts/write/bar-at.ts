// Which bar of the chart the cursor stands in.
import type { TextSpan } from '../../../../app/core/base/result.ts';
import type { ChartPlaces } from '../../../../app/core/chart/notation/parse.ts';

/** Indexes of the section and of its bar; undefined where no bar is typed. */
export function barAt(
  { sections }: ChartPlaces,
  line: number,
  column: number,
): readonly [section: number, bar: number] | undefined {
  const holds = (span: TextSpan): boolean =>
    span.line === line && column >= span.column && column <= span.column + span.length + 1;
  for (const [section, { bars }] of sections.entries()) {
    const bar = bars.findIndex(({ span }) => holds(span));
    if (bar >= 0) return [section, bar];
  }
  return undefined;
}
