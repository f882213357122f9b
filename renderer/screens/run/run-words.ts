// What the chart says of its band, in one sentence.
import type { Unit } from '../../../app/core/model/unit.ts';

/** Where the chart says nothing, the band finds its own way. */
export function bandWordsOf({ bars }: Unit): string {
  const said = new Set(
    bars.flatMap(({ band }) => {
      const { drums, bass, level } = band ?? {};
      return [
        ...(drums ? [`drums: ${drums}`] : []),
        ...(bass ? [`bass: ${bass}`] : []),
        ...(level ? [`band: ${level}`] : []),
      ];
    }),
  );
  return said.size > 0
    ? `The chart asks for ${[...said].join(', ')}.`
    : 'The band finds its own way through the chart. Words such as “drums: brushes” or “bass: roots” in the chart change it.';
}
