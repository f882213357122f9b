// Where the parts of a shape's picture lie, in strings and frets; the part draws them, left-handed mirrored.
import { listed } from '../../../app/core/base/listed.ts';
import type { Frets } from '../../../app/core/model/chart.ts';
import { fingersOf, isBarre, type Press } from '../../../app/core/fretboard/shape.ts';
import type { Finger, Fret, StringNo } from '../../../app/core/base/units.ts';

export interface DrawnShape {
  /** Fret of the picture's first row: 1 with the nut drawn above it. */
  readonly firstFret: Fret;
  /** Rows drawn, 4 or more. */
  readonly rows: number;
  /** Per string from the left: what stands above it. */
  readonly tops: readonly ('open' | 'muted' | 'stopped')[];
  /** A finger on one string, or on several. `left` ≤ `right`, in strings from the left, 0–5; `row` from 0. */
  readonly presses: readonly {
    readonly finger: Finger;
    readonly row: number;
    readonly left: number;
    readonly right: number;
  }[];
}

const FEWEST_ROWS = 4;

/** String 6 is on the left for a right-handed player, on the right for a left-handed one. */
export function drawnShape(
  shape: { readonly frets: Frets; readonly presses: readonly Press[] },
  leftHanded: boolean,
): DrawnShape {
  const stopped = shape.frets.filter((fret): fret is Fret => fret !== null && fret > 0);
  const highest = Math.max(0, ...stopped);
  const firstFret = highest <= FEWEST_ROWS ? 1 : Math.min(...stopped);
  const column = (string: StringNo) => (leftHanded ? string - 1 : 6 - string);
  const tops = shape.frets.map((fret) =>
    fret === null ? 'muted' : fret === 0 ? 'open' : 'stopped',
  );
  return {
    firstFret,
    rows: Math.max(FEWEST_ROWS, highest - firstFret + 1),
    tops: leftHanded ? tops.toReversed() : tops,
    presses: shape.presses.map(({ finger, fret, from, to }) => ({
      finger,
      row: fret - firstFret,
      left: Math.min(column(from), column(to)),
      right: Math.max(column(from), column(to)),
    })),
  };
}

/**
 * The picture in a sentence for screen readers: "barre at fret 1 with finger 1, strings 6 to 1; finger 2
 * on string 3, fret 2; … strings 6 and 5 muted; string 1 open".
 */
export function spokenShape(shape: {
  readonly frets: Frets;
  readonly presses: readonly Press[];
}): string {
  const presses = shape.presses.map((press) =>
    isBarre(press)
      ? `barre at fret ${press.fret} with finger ${press.finger}, strings ${press.from} to ${press.to}`
      : `finger ${press.finger} on string ${press.from}, fret ${press.fret}`,
  );
  const stringsWith = (wanted: Fret | null) =>
    shape.frets.flatMap((fret, i) => (fret === wanted ? [6 - i] : []));
  const said = (strings: readonly StringNo[], word: string) =>
    strings.length > 0 ? [`${stringWords(strings)} ${word}`] : [];
  return [
    ...presses,
    ...unfingered(shape),
    ...said(stringsWith(0), 'open'),
    ...said(stringsWith(null), 'muted'),
  ].join('; ');
}

/** Stopped strings that no finger was found for: a pinned shape that no hand can hold. */
const unfingered = (shape: { readonly frets: Frets; readonly presses: readonly Press[] }) =>
  fingersOf(shape).flatMap((finger, i) => {
    const fret = shape.frets[i];
    return finger === null && fret ? [`string ${6 - i} at fret ${fret}`] : [];
  });

/** "string 1", "strings 6 and 5", "strings 6, 5 and 4". */
const stringWords = (strings: readonly StringNo[]): string =>
  `${strings.length === 1 ? 'string' : 'strings'} ${listed(strings)}`;
