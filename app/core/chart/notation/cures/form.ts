// Cures for the form: entries that name no section, counts, altered endings.
import {
  type Replacement,
  type Mend,
  type MistakePlace,
  digitsMeant,
  suggested,
  withoutLine,
} from './cure.ts';

const HEADING = /^\s*\[([^[\]]+)\]\s*$/u;

/** "2x Verse", "Verse (x2)", "Verse*2", "[Verse]", "1. Verse", "- Verse": as the form has it. */
function asEntry(typed: string): string {
  const plain = typed
    .replace(/^\s*(?:\d{1,2}[.)]\s+|[-–—•*]\s+)/u, '')
    .replace(/[[\]]/gu, ' ')
    .replace(/\s+/gu, ' ')
    .trim();
  const [, before, name] = /^\(?(\d{1,2})\s*[x×*]?\)?\s+(\S.*)$/iu.exec(plain) ?? [];
  if (name) return `${name} x${before}`;
  return plain
    .replace(/\s*\(\s*(?:[x×]\s*(\d{1,2})|(\d{1,2})\s*[x×])\s*\)$/iu, ' x$1$2')
    .replace(/\s+(\d{1,2})\s*[x×]$/iu, ' x$1')
    .replace(/\s*[*×]\s*(\d{1,2})$/u, ' x$1');
}

/** "Verse Chorus Verse" and "V C V": the names that stand in a row, or their first letters. */
function namesInRow(typed: string, names: readonly string[]): readonly string[] | undefined {
  const found: string[] = [];
  const long = names.toSorted((a, b) => b.length - a.length);
  let rest = typed.trim().toLowerCase();
  while (rest !== '') {
    const name = long.find((one) =>
      new RegExp(`^${escaped(one.toLowerCase())}(?!\\p{L})`, 'u').test(rest),
    );
    const letter = name ?? byLetter(/^\p{L}{1,2}\d?(?!\p{L})/u.exec(rest)?.[0], names);
    if (letter === undefined) return undefined;
    const taken = name?.length ?? /^\p{L}{1,2}\d?/u.exec(rest)![0].length;
    const times = /^\s*x\s*(\d{1,2})\b/u.exec(rest.slice(taken));
    found.push(times ? `${letter} x${times[1]}` : letter);
    rest = rest.slice(taken + (times?.[0].length ?? 0)).replace(/^[\s\-–—/>→+;.]+/u, '');
  }
  return found.length > 1 || (found.length === 1 && found[0] !== typed) ? found : undefined;
}

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/gu, '\\$&');

/** The only section that begins with these letters. */
function byLetter(letters: string | undefined, names: readonly string[]): string | undefined {
  if (letters === undefined) return undefined;
  const all = names.filter((name) => name.toLowerCase().startsWith(letters));
  return all.length === 1 ? all[0] : undefined;
}

function entry(place: MistakePlace): string | Replacement {
  const { typed, span, line, lines } = place;
  const names = lines.flatMap((text) => HEADING.exec(text)?.[1]?.trim() ?? []);
  const row = namesInRow(typed.replace(/[[\]]/gu, ' '), names) ?? namesInRow(asEntry(typed), names);
  if (row) return row.join(', ');
  const plain = asEntry(typed);
  if (plain !== typed && names.includes(plain.replace(/\s+x\d+$/u, ''))) return plain;
  const parts = typed.split(/\s*(?:\s[-–—+/]\s|[>→;]+)\s*/u).filter((part) => part !== '');
  if (parts.length > 1) return parts.join(', ');
  const better = suggested({ ...place, typed: plain });
  if (better !== undefined) return better;
  const comma = /,\s*$/u.exec(line.slice(0, span.column - 1))?.[0].length ?? 0;
  return {
    text: '',
    span: { ...span, column: span.column - comma, length: span.length + comma },
  };
}

const times: Mend = ({ typed }) =>
  typed.replace(/\d+(?!.*\d)/u, (n) => String(digitsMeant(Number(n), 1, 32)));

/** Bars behind a section are its other ending. */
const word: Mend = ({ span }) => ({ text: 'ending ', span: { ...span, length: 0 } });

/** More bars than the section has cannot take the place of its last ones: they come after. */
const tooLong: Mend = ({ typed }) => typed.replace(/\bending\b/iu, 'added');

const withoutRepeats: Mend = ({ span, line }) => {
  const from = line.search(/:?\|/u);
  const text = line.slice(from).replaceAll('|:', '|').replaceAll(':|', '|');
  return { text, span: { line: span.line, column: from + 1, length: line.length - from } };
};

/** A second "form:" goes on in the list of the first. */
const again: Mend = ({ span, line }) => ({
  text: line.replace(/^\s*\p{L}+\s*:\s*/u, ''),
  span: { line: span.line, column: 1, length: line.length },
});

export const FORM_CURES: readonly (readonly [string, Mend])[] = [
  ['form-section', entry],
  ['form-times', times],
  ['form-entries', withoutLine],
  ['form-twice', again],
  ['ending-word', word],
  ['ending-bars', tooLong],
  ['ending-repeats', withoutRepeats],
];
