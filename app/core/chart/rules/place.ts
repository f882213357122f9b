// Where in a chart a problem sits, so that an editor can mark the very line.
import type { Problem } from '../../base/result.ts';
import type { LeadWhere } from '../../lead/notation.ts';

/** Everything counts from 0; absent parts mean "as a whole". */
export interface ChartPlace {
  readonly section?: number;
  readonly form?: number;
  /** A bar of the section, or of the form entry's altered ending. */
  readonly bar?: number;
  readonly chord?: number;
  /** A lead of the section, and one of its parts. */
  readonly lead?: number;
  readonly part?: number;
  /** Where in the part. */
  readonly where?: LeadWhere;
  readonly field?: HeadField;
  /** Index into the chart's shapes. */
  readonly shape?: number;
}

export type HeadField =
  'title' | 'tempo' | 'meter' | 'feel' | 'key' | 'capo' | 'tuning' | 'strum' | 'form';

export interface ChartProblem extends Problem {
  readonly place: ChartPlace;
}

/** A problem with where in the chart it sits. */
export const problemAt = (
  place: ChartPlace,
  code: string,
  message: string,
  cure: string,
): ChartProblem => ({ place, code, message, cure });

/** Puts a part's own problems at a place, with the place's name before the message. */
export const placed = (
  problems: readonly Problem[],
  place: ChartPlace,
  name?: string,
): ChartProblem[] =>
  problems.map((p) => ({ ...p, message: name ? `${name}: ${p.message}` : p.message, place }));
