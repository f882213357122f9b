// The shapes that are taught first, chord by chord, with their fingers. Whoever teaches otherwise pins another one.

/**
 * One row: the chord; its frets and fingers from string 6 to string 1 ('.' where no finger presses, 'T' for the
 * thumb, the same finger on several strings of one fret is a barre); other fingerings of the same frets that are
 * taught as well; and where a published table prints it as its first shape, with these frets:
 * `db` is npm `@tombatossals/chords-db` 0.5.1, `ly` Debian's `lilypond-data` 2.24 (predefined guitar fretboards);
 * none is common practice without a source. `tests/reference/taught.test.ts` checks the sources and lists every
 * difference.
 */
export type TaughtRow = readonly [
  symbol: string,
  frets: string,
  fingers: string,
  others: readonly string[],
  source: '' | 'db' | 'ly' | 'db ly',
];

/** Chords with open strings, and those whose first shape is no movable one; a second row is taught second. */
export const TAUGHT: readonly TaughtRow[] = [
  ['C', 'x32010', '.32.1.', [], 'db ly'],
  ['C7', 'x32310', '.3241.', [], 'db'],
  ['Cmaj7', 'x32000', '.32...', ['.21...'], ''],
  ['C6', 'x32210', '.4231.', [], 'db'],
  ['C9', 'x32333', '.21333', ['.21344'], 'ly'],
  ['Cmaj9', 'x32430', '.2143.', [], ''],
  ['Cadd9', 'x32030', '.21.3.', ['.32.4.'], 'db'],
  ['Csus2', 'x30033', '.1..34', ['.1..23', '.2..34'], ''],
  ['Csus4', 'x33011', '.34.11', [], 'db'],
  ['C5', 'x355xx', '.134..', ['.133..'], ''],
  ['Cm', 'x35543', '.13421', [], 'ly'],
  ['Cm7', 'x35343', '.13121', [], 'ly'],
  ['Cdim', 'x3454x', '.1243.', [], 'ly'],
  ['Caug', 'x32110', '.4312.', ['.3211.'], ''],
  ['C/E', '032010', '.32.1.', [], 'db'],
  ['C/G', '332010', '342.1.', [], 'db'],
  ['C/B', 'x22010', '.23.1.', [], ''],
  ['C/D', 'xx0010', '....1.', [], ''],
  ['C/F', 'xx3010', '..3.1.', [], 'db'],
  ['C7/E', '032310', '.3241.', [], ''],

  ['Cmaj7/E', '032000', '.32...', ['.21...'], ''],
  ['Cmaj7/G', '332000', '342...', ['231...'], ''],
  ['D', 'xx0232', '...132', [], 'db ly'],
  ['D7', 'xx0212', '...213', [], 'db ly'],
  ['Dmaj7', 'xx0222', '...111', ['...123'], 'db'],
  ['Dm', 'xx0231', '...231', [], 'db ly'],
  ['Dm7', 'xx0211', '...211', [], 'db ly'],
  ['D6', 'xx0202', '...1.2', ['...2.3'], 'db'],
  ['Dm6', 'xx0201', '...2.1', [], 'db'],
  ['Dadd9', 'x54230', '.4312.', [], ''],
  ['Dsus2', 'xx0230', '...13.', ['...23.'], 'db'],
  ['Dsus4', 'xx0233', '...134', ['...123'], 'db'],
  ['D7sus4', 'xx0213', '...214', [], 'db'],
  ['D5', 'xx023x', '...13.', ['...12.'], ''],
  ['Ddim', 'xx0131', '...131', [], 'ly'],
  ['Ddim7', 'xx0101', '...1.2', ['...2.3'], 'db ly'],
  ['Daug', 'xx0332', '...231', [], 'db ly'],
  ['Dm7b5', 'xx0111', '...111', ['...123'], 'db'],
  ['Dm(maj7)', 'xx0221', '...231', [], 'db'],
  ['D/F#', '200232', '1..243', ['T..132', '2..143'], 'db'],
  ['D/A', 'x00232', '...132', [], 'db'],
  ['D/C', 'x30232', '.3.142', [], 'db'],
  ['D/E', '000232', '...132', [], ''],
  ['D7/F#', '200212', '2..314', [], ''],
  ['D7/A', 'x00212', '...213', [], ''],
  ['Dm/F', 'xx3231', '..3241', [], ''],
  ['Dm/A', 'x00231', '...231', [], ''],
  ['Dm/C', 'x30231', '.3.241', [], ''],
  ['Dm7/G', '3x0211', '3..211', [], ''],
  ['E', '022100', '.231..', [], 'db ly'],
  ['E7', '020100', '.2.1..', [], 'db ly'],
  ['Emaj7', '021100', '.312..', [], 'db'],
  ['Em', '022000', '.23...', ['.12...'], 'db ly'],
  ['Em7', '020000', '.2....', ['.1....'], 'ly'],
  ['Em7', '022030', '.23.4.', ['.12.4.'], 'db'],
  ['E6', '022120', '.2314.', [], 'db'],
  ['Em6', '022020', '.23.4.', ['.12.3.'], 'db'],
  ['E9', '020102', '.2.1.3', [], 'db ly'],
  ['Em9', '020002', '.2...4', ['.1...2', '.2...3'], 'db'],
  ['Eadd9', '022102', '.231.4', [], 'db'],
  ['Emadd9', '024000', '.13...', ['.14...'], ''],
  ['Em(maj7)', '021000', '.21...', ['.31...'], 'db'],
  ['Emaj9', '021102', '.312.4', [], 'db'],
  ['E13', '020120', '.2.13.', [], 'db'],
  ['E7b9', '020101', '.3.1.2', [], 'db'],
  ['Esus2', '024400', '.134..', [], ''],
  ['Esus4', '022200', '.234..', ['.123..'], 'db'],
  ['E7sus4', '020200', '.2.3..', ['.1.2..'], 'db'],
  ['E5', '022xxx', '.12...', ['.11...', '.34...'], ''],
  ['Edim', 'xx2353', '..1243', [], ''],
  ['Eaug', '032110', '.4312.', [], 'db'],
  ['E7#9', '076780', '.2134.', [], ''],
  ['E/G#', '422100', '4231..', [], ''],
  ['E/B', 'x22100', '.231..', [], 'db'],
  ['E/D', 'xx0100', '...1..', [], 'db'],
  ['E7/G#', '420100', '42.1..', [], ''],
  ['E7/B', 'x20100', '.2.1..', [], ''],
  ['Em/B', 'x22000', '.12...', ['.23...'], 'db'],
  ['Em/D', 'xx0000', '......', [], 'db'],
  ['Em/G', '322000', '312...', [], 'db'],
  ['F', '133211', '134211', [], 'db ly'],
  ['Fmaj7', 'xx3210', '..321.', [], 'db'],
  ['F6', '1x3231', '1.3241', [], 'db'],
  ['Fadd9', 'xx3213', '..3214', [], 'db'],
  ['Fsus2', 'xx3013', '..3.14', [], ''],
  ['F/A', 'x03211', '..3211', [], 'db'],
  ['F/C', 'x33211', '.34211', [], 'db'],
  ['F/G', '3x3211', '3.4211', [], ''],
  ['Fmaj7/A', 'x03210', '..321.', [], ''],
  ['Fmaj7/C', 'x33210', '.3421.', [], ''],
  ['G', '320003', '21...3', ['32...4'], 'db ly'],
  ['G7', '320001', '32...1', [], 'db ly'],
  ['Gmaj7', '320002', '32...1', ['31...2'], 'db'],
  ['G6', '320000', '21....', ['32....'], 'db'],
  ['G9', '3x0201', '3..2.1', [], ''],
  ['Gadd9', '320203', '21.3.4', [], ''],
  ['Gsus2', '300033', '2...34', ['1...23'], 'db'],
  ['Gsus4', '330013', '23..14', [], 'db'],
  ['G7sus4', '330011', '34..11', ['23..11'], 'db'],
  ['Gaug', '321003', '321..4', [], ''],
  ['G/A', 'x00003', '.....3', [], ''],
  ['G/B', 'x20033', '.1..34', ['.1..23', '.2..34'], 'db'],
  ['G/C', 'x30003', '.2...3', [], ''],
  ['G/D', 'xx0003', '.....3', [], 'db'],
  ['G/F', '1x0003', '1....3', ['1....4'], ''],
  ['G/F#', '220003', '12...3', [], 'db'],
  ['G7/B', 'x20001', '.2...1', [], ''],
  ['G7/D', 'xx0001', '.....1', [], ''],
  ['G7/F', '1x0003', '1....3', ['1....4'], ''],
  ['A', 'x02220', '..123.', ['..213.', '..234.'], 'db ly'],
  ['A7', 'x02020', '..2.3.', ['..1.2.', '..1.3.'], 'db ly'],
  ['Amaj7', 'x02120', '..213.', [], 'db'],
  ['Am', 'x02210', '..231.', [], 'db ly'],
  ['Am7', 'x02010', '..2.1.', [], 'db ly'],
  ['A6', 'x02222', '..1111', [], 'db'],
  ['Am6', 'x02212', '..2314', [], 'db'],
  ['A9', 'x02423', '..1312', [], ''],
  ['Am9', 'x02413', '..2413', [], 'db'],
  ['Aadd9', 'x02420', '..132.', [], 'db'],
  ['Amadd9', 'x02410', '..241.', [], 'db'],
  ['Asus2', 'x02200', '..12..', ['..23..'], 'db'],
  ['Asus4', 'x02230', '..124.', [], 'db'],
  ['A7sus4', 'x02030', '..1.3.', ['..2.3.', '..2.4.'], 'db'],
  ['A5', 'x022xx', '..12..', ['..11..', '..34..'], ''],
  ['Adim', 'x0121x', '..132.', ['..123.'], 'db ly'],
  ['Adim7', 'x01212', '..1324', [], 'db'],
  ['Aaug', 'x03221', '..4231', [], 'db ly'],
  ['Am7b5', 'x01013', '..1.24', [], ''],
  ['Am(maj7)', 'x02110', '..312.', [], 'db'],
  ['A7b9', 'x02323', '..1324', [], 'db'],
  ['A/C#', 'x42220', '.4123.', ['.3111.'], ''],
  ['A/E', '002220', '..123.', ['..213.'], 'db'],
  ['A/G#', '4x2220', '4.123.', [], ''],
  ['A/G', '3x222x', '2.111.', [], ''],
  ['A7/E', '002020', '..2.3.', ['..1.2.'], ''],
  ['Am/C', 'x32210', '.4231.', [], 'db'],
  ['Am/E', '002210', '..231.', [], 'db'],
  ['Am/F#', '2x2210', '2.341.', [], ''],
  ['Am/G', '3x2210', '4.231.', ['3.241.'], ''],
  ['Am/G#', '4x2210', '4.231.', [], ''],
  ['Am7/D', 'xx0213', '...214', [], ''],
  ['Am7/G', '302010', '3.2.1.', [], ''],
  ['B7', 'x21202', '.213.4', [], 'db ly'],
  ['Bm7', 'x24232', '.13121', [], 'ly'],
  ['B/A', 'x04442', '..2341', [], ''],
  ['B/D#', 'x6444x', '.3111.', [], ''],
  ['B/F#', '224442', '112341', [], ''],
  ['B7/D#', 'xx1202', '..12.3', [], ''],
  ['B7/A', 'x01202', '..12.3', [], ''],
  ['Bm/A', 'x04432', '..3421', [], ''],
  ['Bm/D', 'xx0432', '...321', [], ''],
  ['Bm/F#', '224432', '113421', [], ''],
  ['Bb/D', 'xx0331', '...341', [], ''],
  ['Bb/F', '113331', '112341', [], ''],
  ['Eb/G', 'xx5343', '..3121', [], ''],
  ['Ebmaj7', 'xx1333', '..1333', [], ''],
];

/** Movable shapes, written as they are held with the lowest fret that the root's string is stopped at. */
export interface Family {
  readonly quality: string;
  /** The string of the root, and where it lies in the shape as written. */
  readonly root: { readonly string: 6 | 5 | 4; readonly fret: number };
  readonly frets: string;
  readonly fingers: string;
  readonly others?: readonly string[];
  /** The open shape it comes from, where it has one: "E minor". */
  readonly open?: string;
}

/** The families of string 6, then of string 5, then of string 4; common practice, no source. */
export const FAMILIES: readonly Family[] = [
  { quality: '', root: { string: 6, fret: 1 }, frets: '133211', fingers: '134211', open: 'E' },
  { quality: 'm', root: { string: 6, fret: 1 }, frets: '133111', fingers: '134111', open: 'E minor' }, // prettier-ignore
  { quality: '7', root: { string: 6, fret: 1 }, frets: '131211', fingers: '131211', open: 'E7' },
  { quality: 'm7', root: { string: 6, fret: 1 }, frets: '131111', fingers: '131111', open: 'E minor 7' }, // prettier-ignore
  { quality: 'sus4', root: { string: 6, fret: 1 }, frets: '133311', fingers: '123411', open: 'Esus4' }, // prettier-ignore
  { quality: '7sus4', root: { string: 6, fret: 1 }, frets: '131311', fingers: '131411', open: 'E7sus4' }, // prettier-ignore
  { quality: 'maj7', root: { string: 6, fret: 1 }, frets: '1x221x', fingers: '1.342.' },
  { quality: 'm7b5', root: { string: 6, fret: 2 }, frets: '2x221x', fingers: '2.341.' },
  { quality: '6', root: { string: 6, fret: 2 }, frets: '2x132x', fingers: '2.143.' },
  { quality: 'm6', root: { string: 6, fret: 2 }, frets: '2x122x', fingers: '2.134.', others: ['2.133.'] }, // prettier-ignore
  { quality: 'm(maj7)', root: { string: 6, fret: 1 }, frets: '132111', fingers: '132111' },
  { quality: '9', root: { string: 6, fret: 1 }, frets: '131213', fingers: '131214' },
  { quality: 'm9', root: { string: 6, fret: 1 }, frets: '131113', fingers: '131114' },
  { quality: '13', root: { string: 6, fret: 1 }, frets: '1x123x', fingers: '1.234.' },
  { quality: 'dim7', root: { string: 6, fret: 2 }, frets: '2x121x', fingers: '2.131.' },
  { quality: '7#5', root: { string: 6, fret: 1 }, frets: '1x122x', fingers: '1.234.' },
  { quality: '7b5', root: { string: 6, fret: 2 }, frets: '2x231x', fingers: '2.341.' },
  { quality: '5', root: { string: 6, fret: 1 }, frets: '133xxx', fingers: '134...', others: ['133...'] }, // prettier-ignore
  { quality: '', root: { string: 5, fret: 1 }, frets: 'x13331', fingers: '.12341', others: ['.13331'], open: 'A' }, // prettier-ignore
  { quality: 'm', root: { string: 5, fret: 1 }, frets: 'x13321', fingers: '.13421', open: 'A minor' }, // prettier-ignore
  { quality: '7', root: { string: 5, fret: 1 }, frets: 'x13131', fingers: '.13141', others: ['.12131'], open: 'A7' }, // prettier-ignore
  { quality: 'm7', root: { string: 5, fret: 1 }, frets: 'x13121', fingers: '.13121', open: 'A minor 7' }, // prettier-ignore
  { quality: 'maj7', root: { string: 5, fret: 1 }, frets: 'x13231', fingers: '.13241', open: 'Amaj7' }, // prettier-ignore
  { quality: 'sus2', root: { string: 5, fret: 1 }, frets: 'x13311', fingers: '.13411', open: 'Asus2' }, // prettier-ignore
  { quality: 'sus4', root: { string: 5, fret: 1 }, frets: 'x13341', fingers: '.12341', open: 'Asus4' }, // prettier-ignore
  { quality: '7sus4', root: { string: 5, fret: 1 }, frets: 'x13141', fingers: '.13141', open: 'A7sus4' }, // prettier-ignore
  { quality: '6', root: { string: 5, fret: 1 }, frets: 'x13333', fingers: '.13333', open: 'A6' },
  { quality: 'm6', root: { string: 5, fret: 2 }, frets: 'x2x132', fingers: '.2.143' },
  { quality: '6/9', root: { string: 5, fret: 2 }, frets: 'x21122', fingers: '.21134', others: ['.21133'] }, // prettier-ignore
  { quality: 'm(maj7)', root: { string: 5, fret: 1 }, frets: 'x13221', fingers: '.14231' },
  { quality: 'm7b5', root: { string: 5, fret: 1 }, frets: 'x1212x', fingers: '.1324.' },
  { quality: 'dim', root: { string: 5, fret: 1 }, frets: 'x1232x', fingers: '.1243.' },
  { quality: 'dim7', root: { string: 5, fret: 2 }, frets: 'x2313x', fingers: '.2314.' },
  { quality: 'aug', root: { string: 5, fret: 3 }, frets: 'x3211x', fingers: '.3211.' },
  { quality: '7#5', root: { string: 5, fret: 2 }, frets: 'x212x3', fingers: '.213.4' },
  { quality: '9', root: { string: 5, fret: 2 }, frets: 'x21222', fingers: '.21333', others: ['.21334'] }, // prettier-ignore
  { quality: 'm9', root: { string: 5, fret: 3 }, frets: 'x3133x', fingers: '.2134.' },
  { quality: 'maj9', root: { string: 5, fret: 2 }, frets: 'x2132x', fingers: '.2143.' },
  { quality: '7#9', root: { string: 5, fret: 2 }, frets: 'x2123x', fingers: '.2134.' },
  { quality: '7b9', root: { string: 5, fret: 2 }, frets: 'x2121x', fingers: '.2131.' },
  { quality: '7', root: { string: 5, fret: 3 }, frets: 'x3231x', fingers: '.3241.', open: 'C7' },
  { quality: '5', root: { string: 5, fret: 1 }, frets: 'x133xx', fingers: '.134..', others: ['.133..'] }, // prettier-ignore
  { quality: '', root: { string: 4, fret: 1 }, frets: 'xx1343', fingers: '..1243', open: 'D' },
  { quality: 'm', root: { string: 4, fret: 1 }, frets: 'xx1342', fingers: '..1342', open: 'D minor' }, // prettier-ignore
  { quality: '7', root: { string: 4, fret: 1 }, frets: 'xx1323', fingers: '..1324', open: 'D7' },
  { quality: 'm7', root: { string: 4, fret: 1 }, frets: 'xx1322', fingers: '..1322', others: ['..1423'], open: 'D minor 7' }, // prettier-ignore
  { quality: 'maj7', root: { string: 4, fret: 1 }, frets: 'xx1333', fingers: '..1333', open: 'Dmaj7' }, // prettier-ignore
  { quality: 'dim7', root: { string: 4, fret: 1 }, frets: 'xx1212', fingers: '..1324', open: 'Ddim7' }, // prettier-ignore
  { quality: 'm7b5', root: { string: 4, fret: 1 }, frets: 'xx1222', fingers: '..1222', others: ['..1333'], open: 'Dm7b5' }, // prettier-ignore
  { quality: 'dim', root: { string: 4, fret: 1 }, frets: 'xx1242', fingers: '..1243' },
  { quality: 'aug', root: { string: 4, fret: 3 }, frets: 'xx3221', fingers: '..4231' },
];

/** With string 6 tuned down to D: common practice, no source. Movable ones stop the root on string 6. */
export const DROPPED_D: {
  readonly rows: readonly TaughtRow[];
  readonly families: readonly Family[];
} = {
  rows: [
    ['D', '000232', '...132', [], ''],
    ['Dm', '000231', '...231', [], ''],
    ['D7', '000212', '...213', [], ''],
    ['Dm7', '000211', '...211', [], ''],
    ['Dmaj7', '000222', '...111', ['...123'], ''],
    ['Dsus2', '000230', '...13.', [], ''],
    ['Dsus4', '000233', '...134', [], ''],
    ['D5', '000xxx', '......', [], ''],
    ['E5', '222xxx', '111...', [], ''],
    ['G', '5x0003', '3....1', ['4....1'], ''],
    ['G/B', 'x20033', '.1..34', [], ''],
  ],
  families: [{ quality: '5', root: { string: 6, fret: 1 }, frets: '111xxx', fingers: '111...' }],
};

/**
 * Easier shapes for hands that cannot make a whole barre yet: at most two strings under one finger, on fewer
 * strings. Common practice, no source.
 */
export const EASIER: readonly TaughtRow[] = [
  ['F', 'xx3211', '..3211', [], ''],
  ['Fm', 'xx3111', '..3111', [], ''],
  ['F7', 'xx1211', '..1211', [], ''],
  ['Fm7', 'xx1111', '..1111', [], ''],
  ['F#m', 'xx4222', '..3111', [], ''],
  ['F#', 'xx4322', '..3211', [], ''],
  ['F#7', 'xx4320', '..321.', [], ''],
  ['F#m7', '202220', '1.234.', [], ''],
  ['Gm', 'xx5333', '..3111', [], ''],
  ['Gm7', 'xx3333', '..1111', [], ''],
  ['G#m', 'xx6444', '..3111', [], ''],
  ['Bb', 'xx3331', '..2341', [], ''],
  ['Bbm', 'xx3321', '..3421', [], ''],
  ['Bb7', 'xx3334', '..1112', [], ''],
  ['B', 'xx4442', '..2341', [], ''],
  ['Bm', 'xx4432', '..3421', [], ''],
  ['Bm7', 'x20202', '.1.2.3', [], ''],
  ['C#m', 'xx2120', '..213.', [], ''],
  ['C#m7', 'x42100', '.421..', [], ''],
  ['Cm', 'xx5543', '..3421', [], ''],
  ['Cm7', 'x3134x', '.2134.', [], ''],
  ['Eb', 'xx1343', '..1243', [], ''],
  ['Ab', 'xx6544', '..3211', [], ''],
];
