// How large a chart may be, and how long a recording: far above any song, far below what would stall the program.
import type { Seconds } from '../base/units.ts';

export const MAX_TITLE = 120;
export const MAX_NAME = 40;
export const MAX_SYMBOL = 64;
export const MAX_FRET = 24;
export const MAX_CAPO = 12;
export const MAX_SECTIONS = 64;
export const MAX_SECTION_BARS = 512;
export const MAX_FORM_ENTRIES = 200;
export const MAX_TIMES = 32;
/** Times a repeated passage inside a section is played. */
export const MAX_REPEATS = 32;
/** Bars of the whole form, everything unrolled: over three hours at 60 bpm in 4/4. */
export const MAX_PLAYED_BARS = 3000;
export const MAX_BAR_CHORDS = 48;
/** Parts into which one beat may be split: sixteenths and triplets together need 12, halves of them 24. */
export const MAX_SPLIT = 24;
/** Splits inside splits that are looked at, to say what is wrong; one may not stand inside another. */
export const MAX_SPLIT_DEPTH = 6;
export const MAX_STRUM_CELLS = 96;
/** Verses of words in a section, and syllables of one verse in one bar. */
export const MAX_VERSES = 12;
export const MAX_SYLLABLES = 64;
export const MAX_SYLLABLE = 60;
/** Characters of a remark, a comment or a free field; remarks of a section; comments above one thing. */
export const MAX_REMARK = 200;
export const MAX_REMARKS = 12;
export const MAX_COMMENTS = 40;
export const MAX_FIELDS = 40;
/** Beats that a fermata adds. */
export const MAX_FERMATA = 16;
export const MAX_SHAPES = 200;
/** Lead lines of a section, guitars of a line, entries in a bar of one. */
export const MAX_LINES = 32;
export const MAX_PARTS = 4;
export const MAX_LINE_EVENTS = 96;
/** Characters of a chart file or of a typed chart. */
export const MAX_TEXT = 2_000_000;
/** Largest text of an imported file, in UTF-16 units. */
export const MAX_IMPORT_LENGTH = 4_000_000;
/** Levels of nesting in a chart file; the model itself needs 9. */
export const MAX_DEPTH = 24;
/** Characters of one typed line; a section of 512 bars on a single line fits. */
export const MAX_LINE = 20_000;
/** Problems that are listed at once; a text with more is not a chart. */
export const MAX_PROBLEMS = 200;

/** Of a recording; then it ends by itself. */
export const MAX_RECORDING: Seconds = 20 * 60;

/** Bytes of a large file that travel at once between the view and the machine. */
export const PART_BYTES = 3_000_000;
