// Writes what is sung as a part of its own: a note for each moment, a line of words for each verse (W3C MusicXML 4.0, lyric).
import {
  type Rational,
  compare,
  mul,
  rational,
  sub,
  toNumber,
  ZERO,
} from '../../../base/rational.ts';
import { sungPlaces } from '../../../chart/form/sung-places.ts';
import { printMeter } from '../../../rhythm/meter.ts';
import type { BarWords, Syllable } from '../../../model/chart.ts';
import { keyElements, timeElement } from './attributes.ts';
import { leftBarline, rightBarline } from '../barlines.ts';
import { measuresOf } from './measures.ts';
import { piecesOf, restOfBar } from './pieces.ts';
import type { Sheet, SheetBar } from '../sheet.ts';
import { type XmlElement, element } from '../xml-write.ts';
import { leastCommonMultiple } from '../../../rhythm/slots.ts';

/** What the part is called. */
export const WORDS_PART = 'Words';

/** Is anything sung? */
export const hasWords = ({ bars }: Sheet): boolean => bars.some(({ words }) => words);

interface Sung extends Syllable {
  readonly verse: number;
  readonly place: Rational;
  /** Does it go on from the syllable before? */
  readonly continues: boolean;
}

/** The part of the words, bar by bar (W3C MusicXML 4.0, lyric). */
export function wordsMeasures(sheet: Sheet): readonly XmlElement[] {
  let divisions = 0;
  const joined = new Map<number, boolean>();
  return measuresOf(sheet, (index) => {
    const bar = sheet.bars[index]!;
    const sung = (bar.words ?? []).flatMap((words, verse) => sungIn(bar, words, verse, joined));
    const moments = momentsOf(bar, sung);
    const needed = moments.reduce(
      (all, { at, end }) => leastCommonMultiple(leastCommonMultiple(all, at.d), end.d),
      24,
    );
    const fresh = needed !== divisions;
    divisions = needed;
    return [
      ...leftBarline(bar),
      ...attributes(sheet, index, fresh ? divisions : undefined),
      ...(sung.length > 0
        ? moments.flatMap((moment) => notesOf(moment, divisions))
        : restOfBar(bar, divisions)),
      ...rightBarline(sheet.bars, index),
    ];
  });
}

/** `joined` knows of each verse whether a word goes on over the bar line. */
function sungIn(
  { length }: SheetBar,
  words: BarWords,
  verse: number,
  joined: Map<number, boolean>,
): readonly Sung[] {
  const places = sungPlaces(words, length);
  return words.map((syllable, i) => {
    const continues = joined.get(verse) ?? false;
    joined.set(verse, syllable.joined === true);
    return { ...syllable, verse, place: places[i]!, continues };
  });
}

interface Moment {
  readonly at: Rational;
  readonly end: Rational;
  readonly sung: readonly Sung[];
}

/** From each place to the next; what stands before the first is a rest. */
function momentsOf({ length }: SheetBar, sung: readonly Sung[]): readonly Moment[] {
  const places = [ZERO, ...sung.map(({ place }) => place)]
    .toSorted(compare)
    .filter((at, i, all) => i === 0 || compare(at, all[i - 1]!) > 0);
  return places.map((at, i) => ({
    at,
    end: places[i + 1] ?? length,
    sung: sung.filter(({ place }) => compare(place, at) === 0),
  }));
}

function attributes(sheet: Sheet, index: number, divisions: number | undefined): XmlElement[] {
  const bar = sheet.bars[index]!;
  const before = sheet.bars[index - 1];
  const newMeter = !before || printMeter(before.meter) !== printMeter(bar.meter);
  if (!newMeter && divisions === undefined) return [];
  return [
    element('attributes', [
      ...(divisions === undefined ? [] : [element('divisions', divisions)]),
      ...(before ? [] : keyElements(sheet.key)),
      ...(newMeter ? [timeElement(bar.meter)] : []),
    ]),
  ];
}

function notesOf({ at, end, sung }: Moment, divisions: number): readonly XmlElement[] {
  const pieces = piecesOf(sub(end, at));
  const tied = sung.length > 0 && pieces.length > 1;
  return pieces.map(({ length, signs }, i) => {
    const ties = tied
      ? [...(i > 0 ? ['stop'] : []), ...(i < pieces.length - 1 ? ['start'] : [])]
      : [];
    return element('note', [
      sung.length > 0 ? PITCH : element('rest'),
      element('duration', toNumber(mul(length, rational(divisions)))),
      ...ties.map((type) => element('tie', [], { type })),
      element('voice', 1),
      ...signs,
      ...(sung.length > 0 ? [element('notehead', 'slash')] : []),
      ...(ties.length > 0
        ? [
            element(
              'notations',
              ties.map((type) => element('tied', [], { type })),
            ),
          ]
        : []),
      ...(i === 0 ? sung.map(lyric) : []),
    ]);
  });
}

/** No chart says a tune: the notes stand on one line. */
const PITCH = element('pitch', [element('step', 'B'), element('octave', 4)]);

function lyric({ text, joined, continues, verse }: Sung): XmlElement {
  const syllabic = continues ? (joined ? 'middle' : 'end') : joined ? 'begin' : 'single';
  return element('lyric', [element('syllabic', syllabic), element('text', text)], {
    number: String(verse + 1),
  });
}
