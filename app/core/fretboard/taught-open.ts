// The shapes that are taught in open tunings and in DADGAD. Common practice, no source, all of them.
import type { Family, TaughtRow } from './taught-table.ts';

/** What is taught in one tuning: single shapes, then those that move along the neck. */
export interface TaughtTables {
  /** The tuning as readTuning knows it by name. */
  readonly tuning: string;
  readonly rows: readonly TaughtRow[];
  readonly families: readonly Family[];
}

const OPEN_G: TaughtTables = {
  tuning: 'open G',
  rows: [
    ['G', 'x00000', '......', [], ''],
    ['G7', 'x00003', '.....2', ['.....3'], ''],
    ['Gmaj7', 'x00004', '.....3', ['.....4'], ''],
    ['Gsus4', 'x00010', '....1.', [], ''],
    ['G6', 'x00002', '.....1', ['.....2'], ''],
    ['G5', 'x000xx', '......', [], ''],
    ['G/B', 'x4000x', '.3....', [], ''],
    ['Am7', 'x22012', '.23.14', [], ''],
    ['C/G', 'x02012', '..2.13', ['..3.24'], ''],
    ['Cadd9/G', 'x02010', '..2.1.', [], ''],
    ['E', 'xx2102', '..21.3', [], ''],
    ['Em', '202002', '2.3..4', ['1.2..3'], ''],
    ['Em7', '202000', '2.3...', ['1.2...'], ''],
    ['D5', '020xxx', '.1....', [], ''],
    ['D7', 'xx0214', '...214', [], ''],
    ['Dsus4', '020035', '.1..24', [], ''],
  ],
  families: [
    { quality: '', root: { string: 5, fret: 1 }, frets: 'x11111', fingers: '.11111' },
    { quality: '7', root: { string: 5, fret: 1 }, frets: 'x11114', fingers: '.11114' },
    { quality: '5', root: { string: 5, fret: 1 }, frets: 'x111xx', fingers: '.111..' },
    { quality: '', root: { string: 4, fret: 3 }, frets: 'xx3213', fingers: '..3214' },
  ],
};

const OPEN_D: TaughtTables = {
  tuning: 'open D',
  rows: [
    ['D', '000000', '......', [], ''],
    ['D7', '000030', '....2.', ['....3.'], ''],
    ['Dmaj7', '000040', '....3.', ['....4.'], ''],
    ['D6', '000020', '....1.', ['....2.'], ''],
    ['Dsus4', '000100', '...1..', [], ''],
    ['D5', '000xxx', '......', [], ''],
    ['D/F#', '400000', '3.....', [], ''],
    ['Em7', '220120', '23.14.', [], ''],
    ['G/B', 'x20120', '.2.13.', [], ''],
    ['G/D', '0x0120', '...12.', [], ''],
    ['Asus4', 'x02300', '..12..', [], ''],
    ['Bm', 'x20020', '.1..2.', ['.2..3.'], ''],
  ],
  families: [
    { quality: '', root: { string: 6, fret: 1 }, frets: '111111', fingers: '111111' },
    { quality: '7', root: { string: 6, fret: 1 }, frets: '111141', fingers: '111141' },
    { quality: '5', root: { string: 6, fret: 1 }, frets: '111xxx', fingers: '111...' },
  ],
};

const DADGAD: TaughtTables = {
  tuning: 'DADGAD',
  rows: [
    ['Dsus4', '000000', '......', [], ''],
    ['D5', '000200', '...1..', ['...2..'], ''],
    ['D', '004200', '..31..', ['..42..'], ''],
    ['D', '000204', '...1.3', ['...1.4'], ''],
    ['Dm', '003200', '..21..', ['..32..'], ''],
    ['D/F#', '400200', '3..1..', ['4..2..'], ''],
    ['Em7', '220020', '23..4.', ['12..3.'], ''],
    ['G', '550020', '34..1.', [], ''],
    ['Gm', '550010', '34..1.', [], ''],
    ['Gsus2', '550000', '34....', ['12....'], ''],
    ['G/B', 'x20020', '.1..2.', ['.2..3.'], ''],
    ['E', 'xx2122', '..2134', [], ''],
    ['F', 'xx3233', '..2134', [], ''],
    ['F#', 'xx4344', '..2134', [], ''],
    ['A', 'x02242', '..1131', [], ''],
    ['Asus4', 'x02200', '..12..', ['..23..'], ''],
    ['A7sus4', 'x02000', '..1...', ['..2...'], ''],
    ['Bm7', 'x24200', '.132..', [], ''],
    ['Cadd9', 'x32030', '.21.3.', ['.32.4.'], ''],
  ],
  families: [{ quality: '5', root: { string: 6, fret: 1 }, frets: '111xxx', fingers: '111...' }],
};

export const OPEN_TUNINGS: readonly TaughtTables[] = [OPEN_G, OPEN_D, DADGAD];
