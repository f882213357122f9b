// How wide letters are in the types that word processors and browsers set by default, in thousandths of the type's size.
//
// Advance widths as in the files of Liberation Sans, Liberation Serif and Carlito (SIL Open Font License), which were made
// to set lines exactly as long as the common sans serif, serif and humanist types of office programs, and of DejaVu Sans and
// DejaVu Serif (Bitstream Vera licence), which are nearly as wide as the sans serif and the serif made for screens.

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

const WIDE_SANS: Widths = [
  ["'ijl", 275],
  ['IJ', 295],
  [' ,.’‘', 318],
  ['/:;\\|', 337],
  ['f-', 352],
  ['()[]t', 390],
  ['!', 401],
  ['r', 411],
  ['"', 460],
  ['*_`', 500],
  ['“”sz', 518],
  ['?', 531],
  ['cL', 550],
  ['Fk', 575],
  ['vxy', 592],
  ['PTYoø', 603],
  ['ae', 613],
  ['ßEhnubdgpqS', 630],
  ['K', 656],
  ['AVXZB', 684],
  ['RC', 695],
  ['U', 732],
  ['NH', 748],
  ['DG', 770],
  ['OQ', 787],
  ['w', 818],
  ['+<=>', 838],
  ['M', 863],
  ['mæ', 974],
  ['W', 989],
  ['—…', 1000],
  ['œ', 1023],
  ['', 636],
];

const WIDE_SERIF: Widths = [
  ["'", 275],
  ['j ,.’‘', 310],
  ['il', 320],
  ['/:;\\|-', 337],
  ['f', 370],
  ['()[]I', 390],
  ['Jt!', 401],
  ['"', 460],
  ['r', 478],
  ['*_`', 500],
  ['“”s', 511],
  ['z?', 527],
  ['cxvy', 560],
  ['ea', 592],
  ['oøk', 602],
  ['YLTß', 660],
  ['P', 673],
  ['SF', 685],
  ['Z', 695],
  ['X', 712],
  ['AVE', 722],
  ['B', 735],
  ['KR', 747],
  ['C', 765],
  ['GD', 799],
  ['OQ', 820],
  ['+<=>U', 838],
  ['w', 856],
  ['HN', 872],
  ['æm', 940],
  ['œ', 989],
  ['—…', 1000],
  ['MW', 1024],
  ['', 636],
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

export const TYPES: readonly WidthOf[] = [SANS, SERIF, HUMANIST, WIDE_SANS, WIDE_SERIF].map(typeOf);
