// The band's words as they are typed at the head of a chart or of a section, and printed again.
import { type Result, fail, ok } from '../../base/result.ts';
import { BAND_LEVELS, BASS_WORDS, type BandWords, DRUMS_WORDS } from '../../model/band.ts';

/** The line's word → what it sets, and what may be said. */
const BAND_KEYS = [
  { key: 'drums', sets: 'drums', words: DRUMS_WORDS },
  { key: 'bass', sets: 'bass', words: BASS_WORDS },
  { key: 'band', sets: 'level', words: BAND_LEVELS },
] as const;

type BandKey = (typeof BAND_KEYS)[number];

/** What one line says; "half time" and "Half-time" are the same. */
function parseBand({ key, sets, words }: BandKey, text: string): Result<BandWords> {
  const typed = text.trim().toLowerCase().replace(/\s+/g, '-');
  const word = words.find((known) => known === typed);
  if (word) return ok({ [sets]: word });
  return fail({
    code: 'band-word',
    message: `“${text.trim().slice(0, 24)}” is nothing that the ${key === 'band' ? 'band' : key} can play`,
    cure: `Write one of ${words.join(', ')}.`,
  });
}

type Lines<V> = Readonly<Partial<Record<BandKey['key'], V>>>;

/** The words of some lines together; `read` reports what cannot be read. */
export function readBand<V>(
  lines: Lines<V>,
  read: (value: V | undefined, parse: (text: string) => Result<BandWords>) => BandWords | undefined,
): { readonly band?: BandWords } {
  const said = BAND_KEYS.map((key) => read(lines[key.key], (text) => parseBand(key, text)));
  const band: BandWords = Object.assign({}, ...said);
  return Object.keys(band).length > 0 ? { band } : {};
}

/** One line for each word, in order. */
export const printBand = (band: BandWords | undefined): readonly (readonly [string, string])[] =>
  BAND_KEYS.flatMap(({ key, sets }) => {
    const word = band?.[sets];
    return word === undefined ? [] : [[key, word] as const];
  });

/** Of a section's words those that are not as they were taken over. */
export const bandBeside = (
  { drums, bass, level }: BandWords = {},
  borrowed: BandWords = {},
): BandWords => ({
  ...(drums && drums !== borrowed.drums && { drums }),
  ...(bass && bass !== borrowed.bass && { bass }),
  ...(level && level !== borrowed.level && { level }),
});
