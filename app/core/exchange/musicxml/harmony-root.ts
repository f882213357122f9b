// The root of a harmony: as a note, or as a step of the key (W3C MusicXML 4.0, root, numeral and function).
import { Note } from 'tonal';
import { type Key, readKey } from '../../harmony/key.ts';
import { keyNameOf } from './head-read.ts';
import { type XmlNode, childAt, numberAt, textAt } from './xml-read.ts';

/** Steps of the scales that numerals count in; the minor one is the natural (common practice, no source). */
const MAJOR = ['1P', '2M', '3M', '4P', '5P', '6M', '7M'];
const MINOR = ['1P', '2M', '3m', '4P', '5P', '6m', '7m'];
const NUMERALS = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'];

/** Undefined where no root is named, or a step without a key that says which note it is. */
export function rootOf(harmony: XmlNode, key: Key | undefined): string | undefined {
  const root = childAt(harmony, 'root');
  if (root) return noteOf(root, 'root');
  const numeral = childAt(harmony, 'numeral');
  if (numeral) {
    const alter = numberAt(numeral, 'numeral-alter') ?? 0;
    return stepOf(numberAt(numeral, 'numeral-root'), alter, numeralKey(numeral) ?? key);
  }
  const [, signs = '', roman = ''] =
    /^([b♭#♯]*)([ivx]+)/i.exec(textAt(harmony, 'function') ?? '') ?? [];
  const alter = [...signs].reduce((sum, sign) => sum + ('#♯'.includes(sign) ? 1 : -1), 0);
  return stepOf(NUMERALS.indexOf(roman.toUpperCase()) + 1, alter, key);
}

/** "F#" of `root-step` and `root-alter`; undefined where that is no note (W3C MusicXML 4.0, root, bass). */
export function noteOf(node: XmlNode | undefined, prefix: 'root' | 'bass'): string | undefined {
  const step = textAt(node, `${prefix}-step`);
  return step && /^[A-G]$/.test(step)
    ? altered(step, numberAt(node, `${prefix}-alter`) ?? 0)
    : undefined;
}

function stepOf(step: number | undefined, alter: number, key: Key | undefined): string | undefined {
  const interval = (key?.mode === 'minor' ? MINOR : MAJOR)[(step ?? 0) - 1];
  return key && interval ? altered(Note.transpose(key.tonic, interval), alter) : undefined;
}

/** At most two signs in all. */
function altered(note: string, alter: number): string | undefined {
  const signs = alter + (note.split('#').length - note.slice(1).split('b').length);
  if (!Number.isInteger(alter) || Math.abs(signs) > 2) return undefined;
  return note[0]! + (signs > 0 ? '#'.repeat(signs) : 'b'.repeat(-signs));
}

/** A numeral may name a key of its own. */
function numeralKey(numeral: XmlNode): Key | undefined {
  const fifths = textAt(numeral, 'numeral-key', 'numeral-fifths');
  if (fifths === undefined) return undefined;
  const mode = /minor/.test(textAt(numeral, 'numeral-key', 'numeral-mode') ?? '')
    ? 'minor'
    : 'major';
  const child = (name: string, text: string): XmlNode => ({
    name,
    attributes: {},
    children: [],
    text,
  });
  const name = keyNameOf({
    ...child('key', ''),
    children: [child('fifths', fifths), child('mode', mode)],
  });
  const key = name === undefined ? undefined : readKey(name);
  return key?.ok ? key.value : undefined;
}
