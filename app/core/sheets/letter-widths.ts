// How wide letters are in the types that word processors and browsers set by default, in thousandths of the type's size.
//
// Advance widths as in the files of Liberation Sans, Liberation Serif and Carlito (SIL Open Font License), which were made
// to set lines exactly as long as the common sans serif, serif and humanist types of office programs.

type Widths = readonly (readonly [signs: string, width: number])[];

const SANS: Widths = [
  ["'", 191],
  ['ijl’‘', 222],
  ['|', 260],
  [' !,./:;I[\\]ft', 278],
  ['()-`r“”', 333],
  ['"', 355],
  ['*', 389],
  ['Jcksvxyz', 500],
  ['+<=>~', 584],
  ['FTZß', 611],
  ['&ABEKPSVXYÄ', 667],
  ['CDHNRUwÜ', 722],
  ['GOQÖ', 778],
  ['Mm', 833],
  ['W', 944],
  ['—…', 1000],
  // All figures, and what is left.
  ['', 556],
];

const SERIF: Widths = [
  ["'", 180],
  ['|', 200],
  [' ,.', 250],
  ['/:;\\ijlt', 278],
  ['!()-I[]`fr’‘', 333],
  ['Js', 389],
  ['"', 408],
  ['?acez“”äé', 444],
  ['FPS', 556],
  ['+<=>', 564],
  ['ELTZ', 611],
  ['BCR', 667],
  ['ADGHKNOQUVXYwÄÖÜ', 722],
  ['&m', 778],
  ['M', 889],
  ['W', 944],
  ['—…', 1000],
  ['', 500],
];

const HUMANIST: Widths = [
  ["'", 221],
  [' il', 228],
  ['j', 239],
  [',.’‘I', 251],
  [':;', 268],
  ['()-f[]', 305],
  ['J!', 322],
  ['tr', 342],
  ['/sz', 391],
  ['“”"Lc', 420],
  ['x', 433],
  ['vykFS', 455],
  ['|?Zg', 467],
  ['aäTYE', 484],
  ['PXKoöß', 523],
  ['bdhnpquüCRB', 533],
  ['VAÄ', 575],
  ['DHG', 623],
  ['UÜNOÖQ', 655],
  ['…', 690],
  ['w', 715],
  ['m', 799],
  ['M', 855],
  ['W', 890],
  ['—', 905],
  ['', 507],
];

/** One type: the width of a character, in thousandths of the type's size. */
export type WidthOf = (sign: string) => number;

function typeOf(widths: Widths): WidthOf {
  const known = new Map(
    widths.flatMap(([signs, width]) => [...signs].map((sign) => [sign, width] as const)),
  );
  const usual = widths.at(-1)![1];
  // A letter with an accent is as wide as without it.
  return (sign) => {
    const width = known.get(sign) ?? known.get(sign.normalize('NFD').charAt(0)) ?? usual;
    if (known.size < 2_000) known.set(sign, width);
    return width;
  };
}

export const TYPES: readonly WidthOf[] = [SANS, SERIF, HUMANIST].map(typeOf);
