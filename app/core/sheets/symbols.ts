// Chord symbols as sheets write them: international or German names, capitals or small letters for minors.
import { readChord } from '../harmony/read.ts';

export interface SheetNames {
  /** H is B natural and B is B flat. */
  readonly german: boolean;
  /** A small letter alone is a minor chord. */
  readonly smallMinor: boolean;
}

/** What may stand around a chord in a line of chords. */
const BARE = /^[([{*<~'"↓↑→»:]*(.*?)[)\]}*>,.;:~↓↑↗↘!?'"’”^_=…/\\]*$/u;
const ROOT = /^([A-Ha-h])(is|es|s|♯|#|♭|b)?/u;
const SMALL_ROOT = /^[a-h](?:is|es|s|♯|#|♭|b)?/u;

/** Longest word that is looked at as a chord. */
const LONGEST = 16;

/** The symbol as charts write it; undefined for a word that is no chord. */
export function symbolOf(typed: string, names: SheetNames): string | undefined {
  if (typed.length > LONGEST) return undefined;
  if (/^[(["']?n\.?\/?c\.?[)\]"']?$/iu.test(typed)) return 'N.C.';
  // "G," is a chord with a comma behind it.
  const plain = typed.replace(/[,;.:]+$/u, '');
  return asChord(plain, names) ?? asChord(BARE.exec(typed)?.[1] ?? '', names);
}

function asChord(text: string, names: SheetNames): string | undefined {
  if (text === '' || text.length > LONGEST || !/^[A-Ha-h]/u.test(text)) return undefined;
  const [head, ...bass] = text.split('/');
  const main = mainOf(head!, names);
  if (main === undefined) return undefined;
  if (bass.length === 0) return read(main);
  const low = bass.length === 1 ? rootOf(bass[0]!, names) : undefined;
  if (low)
    return read(`${main}/${low.root}`) && low.rest === '' ? `${main}/${low.root}` : undefined;
  return read([main, ...bass].join('/'));
}

/** Made of what chord symbols are made of: most words of a sheet are told apart here, before a search for what they may mean. */
const CHORDLIKE =
  /^[A-G][#b]?(?:maj|min|mi|ma|mj|m|M|dim|aug|sus|add|alt|no|omit|dom|[\d#b♯♭+°øΔ△∆^()\-,/A-G])*$/u;

const read = (symbol: string): string | undefined => {
  if (!CHORDLIKE.test(symbol)) return undefined;
  const chord = readChord(symbol);
  return chord.ok && chord.value.kind === 'chord' ? symbol : undefined;
};

function mainOf(text: string, names: SheetNames): string | undefined {
  const found = rootOf(text, names);
  if (!found) return undefined;
  const { root, small } = found;
  const rest = found.rest.replace(/^\s*(?:moll|minor)$/iu, 'm').replace(/^\s*(?:dur|major)$/iu, '');
  // "Do", "Go" and "Ed" are words; a circle for diminished is never a letter in a sheet.
  if (/^o$/u.test(rest)) return undefined;
  if (!small) return `${root}${rest}`;
  if (/^(?:m|min|mi|-)/u.test(rest)) return `${root}${rest}`;
  if (!/^(?:$|[\d(]|maj|sus|add|dim|°)/u.test(rest)) return undefined;
  return names.smallMinor && !/^(?:dim|°|sus)/u.test(rest) ? `${root}m${rest}` : `${root}${rest}`;
}

interface Root {
  readonly root: string;
  readonly rest: string;
  readonly small: boolean;
}

/** "Fis" is F♯, "Es" E♭, "As" A♭; "Asus4" and "Esus" are chords on A and E. */
function rootOf(text: string, names: SheetNames): Root | undefined {
  const match = ROOT.exec(text);
  if (!match) return undefined;
  const letter = match[1]!.toUpperCase();
  const small = SMALL_ROOT.test(text);
  let sign = match[2] ?? '';
  if (sign === 's' && (!'AE'.includes(letter) || /^.sus/iu.test(text))) sign = '';
  if (sign === 'es' && !'CDGFHB'.includes(letter)) return undefined;
  const rest = text.slice(1 + sign.length);
  const accidental = /^(?:is|♯|#)$/u.test(sign) ? '#' : sign === '' ? '' : 'b';
  if (letter === 'H')
    return names.german && sign !== 'b' ? { root: `B${accidental}`, rest, small } : undefined;
  if (letter === 'B' && names.german && sign === '') return { root: 'Bb', rest, small };
  return { root: `${letter}${accidental}`, rest, small };
}

/** How a sheet names its chords, from all words of the lines that may be chords. */
export function namesOf(words: readonly string[]): SheetNames {
  const bare = words.map((word) => BARE.exec(word)?.[1] ?? word);
  const german =
    bare.some((word) => /^[Hh](?:$|m|moll|dur|sus|add|maj|dim|aug|[\d°ø+/])/u.test(word)) ||
    bare.some((word) =>
      /^(?:[Ff]is|[Cc]is|[Gg]is|[Dd]is|[Dd]es|[Gg]es|Es|As)(?:m|7|$|\/|maj)/u.test(word),
    );
  const minors = bare.filter((word) => /^[a-h](?:is|es|s|#|b)?[67]?$/u.test(word));
  const majors = bare.filter((word) => /^[A-H](?:is|es|s|#|b)?7?$/u.test(word));
  // A half-diminished chord has its "m" in every way of naming.
  const saysMinor = bare.some((word) => /^[A-Ha-h](?:is|es|s|#|b)?m(?!aj|7?[b♭(]5)/u.test(word));
  return { german, smallMinor: minors.length > 0 && majors.length > 0 && !saysMinor };
}
