// Rules for lead lines: names that can be pointed at, bars that exist, parts that hands can play.
import { realisePhrase } from '../../lead/realise.ts';
import { MAX_NAME } from '../../model/limits.ts';
import type { ChartBody, Section } from '../../model/chart.ts';
import type { Phrase } from '../../model/lead.ts';
import { lineLengths } from '../form/leads.ts';
import { isName } from './names.ts';
import { type ChartPlace, type ChartProblem, placed, problemAt } from './place.ts';

/** For sections whose bars hold: the lengths of bars are taken from them. */
export function checkLines(chart: ChartBody, section: Section, index: number): ChartProblem[] {
  const phrases = section.phrases ?? [];
  return phrases.flatMap((phrase, line) => {
    const place = { section: index, line };
    const label = `the line ‘${phrase.name}’ of ‘${section.name}’`;
    const names = [
      ...checkName(phrase.name, place, 'a lead line'),
      ...checkTwice(phrases, line, (p) => p.name, place, `‘${section.name}’ has two lines`),
      ...phrase.parts.flatMap((part, i) => [
        ...checkName(part.name, { ...place, part: i }, `a part of ${label}`),
        ...checkTwice(
          phrase.parts,
          i,
          (p) => p.name,
          { ...place, part: i },
          `${label} has two parts`,
        ),
      ]),
    ];
    return names.length > 0 ? names : checkPlayable(chart, section, phrase, place, label);
  });
}

function checkName(name: string, place: ChartPlace, what: string): ChartProblem[] {
  if (isName(name)) return [];
  const message = `${what} cannot be called ‘${name.slice(0, MAX_NAME)}’`;
  return [
    problemAt(place, 'line-name', message, `Use 1 to ${MAX_NAME} characters without [ ] | , : =`),
  ];
}

function checkTwice<T>(
  all: readonly T[],
  index: number,
  nameOf: (item: T) => string,
  place: ChartPlace,
  what: string,
): ChartProblem[] {
  const name = nameOf(all[index]!);
  if (all.findIndex((item) => nameOf(item) === name) === index) return [];
  return [problemAt(place, 'line-twice', `${what} called ‘${name}’`, 'Give one another name.')];
}

function checkPlayable(
  chart: ChartBody,
  section: Section,
  phrase: Phrase,
  place: ChartPlace,
  label: string,
): ChartProblem[] {
  const bars = section.bars.length;
  if (phrase.bar > bars) {
    const message = `${label} starts in bar ${phrase.bar}; the section has ${bars}`;
    return [problemAt(place, 'line-bar', message, `Start it in a bar from 1 to ${bars}.`)];
  }
  const { problems } = realisePhrase(phrase, chart, lineLengths(chart, section, phrase));
  return problems.flatMap(({ part, ...problem }) =>
    placed([problem], { ...place, part }, `‘${section.name}’`),
  );
}
