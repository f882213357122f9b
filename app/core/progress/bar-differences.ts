// What differs between bars as they were set and as they were played, in words: "bar 3 was C, you set B♭".
import { toNumber, ZERO } from '../base/rational.ts';
import { pretty } from '../harmony/notes.ts';
import type { ChordAt } from '../model/chart.ts';
import type { LoggedBar } from '../model/unit.ts';
import { printStrum } from '../rhythm/strum.ts';
import { printFrets } from '../fretboard/frets.ts';
import { printPart } from '../lead/notation.ts';
import { barContent } from '../units/bars/fingerprint.ts';

/** Who reads it: the teacher who set the bars, or the player who has others now, or who played others. */
export type Reader = 'teacher' | 'player' | 'who-played';

/** Differences that are named before the rest is only counted. */
const NAMED = 3;

/** Empty where the bars are the same. */
export function sayDifferences(
  set: readonly LoggedBar[],
  played: readonly LoggedBar[],
  reader: Reader,
): string[] {
  if (set.length !== played.length) {
    return [
      `${bars(played.length)} instead of ${set.length}`,
      ...firstDifference(set, played, reader),
    ];
  }
  const [a, b] = [set, played].map((all) => all.map(asSounding)) as [LoggedBar[], LoggedBar[]];
  const heard = differences(a, b, reader, barContent);
  const differing = heard.length > 0 ? heard : differences(a, b, reader, leadsOf);
  // Bars that come again differ in the same way: said once.
  const told = [...new Set(differing)];
  const more = told.length - NAMED;
  return more > 0 ? [...told.slice(0, NAMED), `${bars(more)} more`] : told;
}

function differences(
  set: readonly LoggedBar[],
  played: readonly LoggedBar[],
  reader: Reader,
  content: (bar: LoggedBar, firstTempo: LoggedBar['tempo']) => string,
): string[] {
  return set.flatMap((bar, i) => {
    const other = played[i]!;
    const same = content(bar, set[0]!.tempo) === content(other, played[0]!.tempo);
    return same ? [] : [differenceOf(bar, other, placeOf(bar, set), reader)];
  });
}

/** A chord held from the bar before sounds as if it were struck: it is no difference of its own. */
const asSounding = ({ held, ...bar }: LoggedBar): LoggedBar =>
  held === undefined ? bar : { ...bar, chords: [{ at: ZERO, symbol: held }, ...bar.chords] };

const bars = (n: number): string => (n === 1 ? '1 bar' : `${n} bars`);

/** Where the numbers of bars differ, what comes after the first difference is only moved. */
function firstDifference(
  set: readonly LoggedBar[],
  played: readonly LoggedBar[],
  reader: Reader,
): string[] {
  const at = set.findIndex((bar, i) => {
    const other = played[i];
    return !other || barContent(bar) !== barContent(other);
  });
  const [bar, other] = [set[at], played[at]];
  return bar && other ? [differenceOf(bar, other, placeOf(bar, set), reader)] : [];
}

/** "bar 3", or "bar 3 of Verse" where the bars come from several sections. */
function placeOf(bar: LoggedBar, all: readonly LoggedBar[]): string {
  const number = bar.pickup && bar.number === 0 ? 'the pickup' : `bar ${bar.number ?? bar.bar}`;
  const several = all.some(({ section }) => section !== all[0]!.section);
  return several ? `${number} of ${bar.section}` : number;
}

/** The one difference that is heard most: the chords, then the meter, the feel, the strum, the shapes. */
function differenceOf(set: LoggedBar, played: LoggedBar, place: string, reader: Reader): string {
  const [was, wanted] = wordsFor(set, played);
  switch (reader) {
    case 'teacher':
      return `${place} was ${was}, you set ${wanted}`;
    case 'player':
      return `${place} is ${was} here, ${wanted} was set`;
    case 'who-played':
      return `${place} was ${was}, ${wanted} was set`;
  }
}

/** How it was played and how it was set, in the words of the first thing that differs. */
function wordsFor(set: LoggedBar, played: LoggedBar): readonly [was: string, wanted: string] {
  const views: readonly ((bar: LoggedBar) => string)[] = [
    chordsOf,
    ({ meter }) => `in ${meter.numerator}/${meter.unit}`,
    ({ length }) => `${Math.round(100 * toNumber(length)) / 100} quarters long`,
    timesOf,
    ({ feel }) => (feel.kind === 'straight' ? 'straight' : 'swung'),
    ({ strum }) => (strum ? `strummed ${printStrum(strum)}` : 'without a strum pattern'),
    shapesOf,
    leadsOf,
  ];
  const telling = views.find((view) => view(set) !== view(played));
  return telling ? [telling(played), telling(set)] : ['at another tempo', 'its own'];
}

const leadsOf = ({ leads = [] }: LoggedBar): string =>
  leads.map(({ bar }) => printPart([bar])).join(' / ') || 'without a lead line';

const chordsOf = ({ chords }: LoggedBar): string =>
  chords.map(({ symbol }) => pretty(symbol)).join(' ') || 'without a chord';

/** "C on 1, G on 2.5": chords with the quarter note on which they come. */
const timesOf = ({ chords }: LoggedBar): string =>
  chords.map(({ at, symbol }) => `${pretty(symbol)} on ${beat(at)}`).join(', ');

const beat = (at: ChordAt['at']): number => Math.round(100 * (1 + toNumber(at))) / 100;

const shapesOf = ({ chords }: LoggedBar): string =>
  chords
    .map(({ symbol, shape, slide }) => {
      const grip = shape ? ` as ${printFrets(shape)}` : ' in its usual shape';
      return `${slide ? 'a slide into ' : ''}${pretty(symbol)}${grip}`;
    })
    .join(', ');
