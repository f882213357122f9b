// The guitars of the fresh set: two families of sampled notes and a string model that no training, choice or test knew.
import { BANK_RATE, type Bank, openNotes, type Source } from '../ear-set/bank.ts';
import { stringGuitar } from '../ear-set/string-model.ts';
import { GUITARS_AT_HOME } from './fresh-d/guitars.ts';
import type { Guitar, Part } from './model.ts';
import { type Making, waveguideGuitar } from './waveguide.ts';

/** Debian's denemo-data (GPL-2) and minuet-data (the sound font's own free licence, v2.0). */
const AIRFONT = '/usr/share/sounds/sf2/A320U.sf2';
const GENERAL_USER = '/usr/share/minuet/soundfonts/GeneralUser-v1.47.sf2';

const airfont = (program: number): Source => ({ program, font: AIRFONT });
const generalUser = (program: number, bank = 0): Source => ({ program, bank, font: GENERAL_USER });
const waveguide = (seed: number, making: Making): Source => ({
  notes: waveguideGuitar(seed, making, BANK_RATE),
});

const partials = (seed: number): Source => ({ notes: stringGuitar(seed, BANK_RATE) });

/** Of sampled guitars none of `fresh-b`'s family is in another part; string models have seeds of their own everywhere. */
export const GUITARS: Readonly<Record<Part, Readonly<Record<string, Guitar>>>> = {
  'fresh-a': {
    'a-nylon': { source: airfont(24) },
    'a-steel': { source: airfont(25) },
    'a-clean': { source: airfont(27) },
    'a-driven': { source: airfont(27), drive: [2, 9] },
    'a-strings-steel': { source: waveguide(11, 'steel') },
    'a-strings-nylon': { source: waveguide(12, 'nylon') },
  },
  choose: {
    'c-steel': { source: airfont(25) },
    'c-nylon': { source: airfont(24) },
    'c-driven': { source: airfont(27), drive: [3, 14] },
    'c-strings-steel': { source: waveguide(31, 'steel') },
    'c-strings-nylon': { source: waveguide(32, 'nylon') },
    'c-strings-twelve': { source: waveguide(33, 'nylon'), pairs: true },
    'c-partials': { source: partials(91) },
    'c-partials-electric': { source: partials(92), drive: [0.5, 6] },
  },
  'fresh-b': {
    nylon: { source: generalUser(24) },
    steel: { source: generalUser(25) },
    twelve: { source: generalUser(25, 8) },
    clean: { source: generalUser(27) },
    driven: { source: generalUser(27), drive: [2, 9] },
    'strings-nylon': { source: waveguide(21, 'nylon') },
    'strings-steel': { source: waveguide(22, 'steel') },
    'strings-twelve': { source: waveguide(23, 'steel'), pairs: true },
    'strings-electric': { source: waveguide(24, 'electric'), drive: [0.4, 3] },
  },
  'fresh-c': {
    'recorded-acoustic': { source: { recorded: 'acoustic' } },
    'recorded-electric': { source: { recorded: 'electric' } },
    'recorded-nylon': { source: { recorded: 'nylon' } },
    'recorded-driven': { source: { recorded: 'electric' }, drive: [2, 9] },
    'strings-steel-c': { source: waveguide(41, 'steel') },
    'strings-nylon-c': { source: waveguide(42, 'nylon') },
    'strings-twelve-c': { source: waveguide(43, 'steel'), pairs: true },
    'strings-electric-c': { source: waveguide(44, 'electric'), drive: [0.4, 3] },
  },
  'fresh-d': GUITARS_AT_HOME,
};

/** Capo 7 and a fifth fret above it; the octaves of paired strings. */
const COMPASS = { lowest: 36, highest: 90 } as const;

const open = new Map<string, Bank>();

/** @throws Error naming the Debian package that is missing. */
export function bankOf(part: Part, name: string, cache: string): Bank {
  const known = open.get(name);
  if (known) return known;
  const { source } = GUITARS[part][name]!;
  // A driven guitar is the clean one and its amplifier.
  const same = Object.entries(GUITARS[part]).find(
    ([, other]) => !('notes' in source) && JSON.stringify(other.source) === JSON.stringify(source),
  );
  const bank = openNotes(same?.[0] ?? name, source, cache, COMPASS);
  open.set(name, bank);
  return bank;
}
