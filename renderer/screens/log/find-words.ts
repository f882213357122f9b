// Which units of the log are shown: every word that was typed occurs in the chart's or the unit's name.
import type { UnitTally } from '../../../app/services/contract/contract.ts';

/** The units in whose names all typed words stand, whatever their case. */
export function withWords(units: readonly UnitTally[], typed: string): readonly UnitTally[] {
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  return units.filter((unit) => words.every((word) => nameOf(unit).includes(word)));
}

const nameOf = ({ chart, unit }: UnitTally): string => `${chart.title} ${unit.name}`.toLowerCase();
