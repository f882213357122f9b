// Lead lines where they are played: the parts of a section's lines, bar by bar.
import { realisePhrase, type PlayedPart } from '../../lead/realise.ts';
import type { Rational } from '../../base/rational.ts';
import type { ChartBody, Section } from '../../model/chart.ts';
import type { PlayedLine } from '../../model/unit.ts';
import { writtenBars } from './written-bars.ts';
import type { Phrase } from '../../model/lead.ts';

/** Lengths of the section's bars from the line's first bar on, in quarter notes. */
export const lineLengths = (
  chart: Pick<ChartBody, 'meter'>,
  section: Section,
  phrase: Phrase,
): readonly Rational[] =>
  writtenBars(section.bars, section.meter ?? chart.meter)
    .slice(phrase.bar - 1)
    .map((bar) => bar.length);

/** The parts of a line that can be played. */
export const partsOf = (
  chart: ChartBody,
  section: Section,
  phrase: Phrase,
): readonly PlayedPart[] => realisePhrase(phrase, chart, lineLengths(chart, section, phrase)).parts;

/** What lead lines play in each written bar of a section, by the bar's number. */
export function linesByBar(
  chart: ChartBody,
  section: Section,
): ReadonlyMap<number, readonly PlayedLine[]> {
  const byBar = new Map<number, PlayedLine[]>();
  for (const phrase of section.phrases ?? []) {
    for (const { name, bars } of partsOf(chart, section, phrase)) {
      bars.forEach((bar, i) => {
        const played = { phrase: phrase.name, part: name, bar };
        byBar.set(phrase.bar + i, [...(byBar.get(phrase.bar + i) ?? []), played]);
      });
    }
  }
  return byBar;
}
