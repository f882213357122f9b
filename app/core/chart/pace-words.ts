// Gradual changes of tempo in the words of the trade.
import type { PaceMark } from '../model/chart.ts';

/** "rit. = 80", "accel.", "a tempo". @param into stands before the new tempo */
export function paceWords(pace: PaceMark, into = '='): string {
  if (pace.kind === 'a-tempo') return 'a tempo';
  const word = pace.kind === 'slower' ? 'rit.' : 'accel.';
  return pace.to === undefined ? word : `${word} ${into} ${pace.to}`;
}
