// The words before a colon that a typed chart knows, and other words for the same thing.

/** At the head of a chart, in the order in which they are printed. */
export const HEAD_KEYS = [
  'title',
  'id',
  'by',
  'names',
  'key',
  'tempo',
  'meter',
  'feel',
  'capo',
  'tuning',
  'drums',
  'bass',
  'band',
] as const;
export type HeadKey = (typeof HEAD_KEYS)[number];

/** Under a section's name. */
export const SECTION_KEYS = [
  'like',
  'tempo',
  'meter',
  'feel',
  'strum',
  'drums',
  'bass',
  'band',
] as const;
export type SectionKey = (typeof SECTION_KEYS)[number];

export const FORM_START: readonly string[] = ['form', 'order', 'arrangement'];

/** What else people write; it is read without a word. */
export const SYNONYMS: ReadonlyMap<string, HeadKey | SectionKey> = new Map([
  ['song', 'title'],
  ['name', 'title'],
  ['song title', 'title'],
  ['note names', 'names'],
  ['notes', 'names'],
  ['artist', 'by'],
  ['author', 'by'],
  ['composer', 'by'],
  ['writer', 'by'],
  ['written by', 'by'],
  ['words and music', 'by'],
  ['key signature', 'key'],
  ['capo fret', 'capo'],
  ['tuned', 'tuning'],
  ['swing', 'feel'],
  ['shuffle', 'feel'],
  ['bpm', 'tempo'],
  ['beats per minute', 'tempo'],
  ['speed', 'tempo'],
  ['time', 'meter'],
  ['metre', 'meter'],
  ['time signature', 'meter'],
  ['strums', 'strum'],
  ['strumming', 'strum'],
  ['strumming pattern', 'strum'],
  ['strum pattern', 'strum'],
  ['same as', 'like'],
  ['as', 'like'],
]);
