// What a line that cannot be read was most likely meant to be, so that the cure says what to type.
import type { Problem, Remedy, TextEdit } from '../../base/result.ts';
import { editDistance } from '../../harmony/nearest.ts';
import type { TextPart } from './bar-lines.ts';
import { HEAD_KEYS, SECTION_KEYS, SYNONYMS } from './keys.ts';

/** Longer lines are lyrics or remarks rather than a name. */
const LONGEST_NAME = 30;

/** Looks like a chord at a glance: a whole text is looked at with every key, so nothing is read in full here. */
const CHORDLIKE =
  /^(?:[A-G][#b♯♭]?(?:maj|min|m|dim|aug|sus|add|[\d#b♯♭+°ø()-]|\/[A-G])*|N\.?C\.?)$/u;

/** Usual names of sections (common practice, no source). */
const SECTION_NAME =
  /^(?:intro|verse|pre-?chorus|chorus|refrain|bridge|middle(?: eight)?|solo|interlude|turnaround|break|outro|coda|ending|tag|vamp|part)\b.{0,12}$/iu;

export interface LinePlace {
  readonly within: 'head' | 'section' | 'form';
  /** Nothing is written above it. */
  readonly opens: boolean;
}

export type Doubt = Pick<Problem, 'cure' | 'remedy'>;

/** A cure that replaces the whole line. */
const retype = (whole: TextPart, cure: string, text: string, label = `Write “${text}”`): Doubt => ({
  cure,
  remedy: { label, edits: [replace(whole, text)] },
});

const replace = ({ line, column, text: old }: TextPart, text: string): TextEdit => ({
  line,
  column,
  length: old.length,
  text,
});

/** One sentence that names the cure of a line that nothing is known to start with. */
export function cureOfLine(whole: TextPart, place: LinePlace): Doubt {
  return (
    cureOfHeading(whole) ??
    cureOfKeyWord(whole, place) ??
    cureOfBars(whole, place) ??
    cureOfName(whole, place) ??
    cureOfSung(whole, place) ?? {
      cure:
        place.within === 'section'
          ? 'Start a line of bars with |, or write “words: | … |” if it is sung.'
          : 'Write e.g. “title: …”, “tempo: ♩ = 96”, or a section’s name in [ ].',
      remedy: asComment(whole),
    }
  );
}

/** The section that a cure names, where the line can hardly be anything else. */
export function nameMeant(line: string, remedy: Doubt['remedy']): string | undefined {
  const name = /^\[([^[\]\n]+)\]$/u.exec(remedy?.edits[0]?.text ?? '')?.[1];
  return name !== undefined && (line.endsWith(']') || SECTION_NAME.test(name)) ? name : undefined;
}

/** "[Verse] | G |", "Verse]", "Verse 1 | G |". */
function cureOfHeading(whole: TextPart): Doubt | undefined {
  const [, name, bars] = /^\[?([^[\]|:]{1,40}?)\]?\s*(\|.*)$/su.exec(whole.text) ?? [];
  if (name && bars && (/[[\]]/u.test(whole.text[0]! + whole.text) || SECTION_NAME.test(name))) {
    const cure = `Put the section’s name on a line of its own: “[${name}]”.`;
    return retype(whole, cure, `[${name}]\n${bars}`, 'Break the line after the name');
  }
  const [, , dressed] =
    /^(\(|\{|<|\*{1,2}|_{1,2}|=+|-+)\s*([\p{L}][\p{L}\d' -]{0,30}?)\s*(?:\)|\}|>|\*{1,2}|_{1,2}|=+|-+):?$/u.exec(
      whole.text,
    ) ?? [];
  if (dressed && SECTION_NAME.test(dressed))
    return retype(whole, `Write “[${dressed}]”.`, `[${dressed}]`);
  const half = /^([^[\]|:]{1,40})\]$/u.exec(whole.text);
  return half
    ? retype(whole, `Open the bracket: “[${half[1]}]”.`, `[${half[1]!.trim()}]`)
    : undefined;
}

/** One string of plain tab: "e|---0---2---|". */
const TAB_LINE = /^[A-Ha-h][#b]?\d?\s*\|[-\dhpbxX/\\~()|\s]*--[-\dhpbxX/\\~()|\s]*$/u;

/** Nothing that was typed is lost by it. */
const asComment = (whole: TextPart): Remedy => ({
  label: 'Keep it as a comment',
  edits: [replace(whole, `# ${whole.text}`)],
});

/** Words of the notation that a line of a song may begin with. */
const SPOKEN = new Set(['as', 'like', 'name', 'song', 'by']);

/** "capo 2", "tempo = 96", "4/4", "♩ = 96": a value without its word or its colon. */
function cureOfKeyWord(whole: TextPart, { within }: LinePlace): Doubt | undefined {
  const { text } = whole;
  const keys: readonly string[] = [
    ...HEAD_KEYS,
    ...SECTION_KEYS,
    'words',
    'form',
    ...SYNONYMS.keys(),
  ];
  const [, word, value] =
    /^(\p{L}+)\s*(?:[=–—-]+|\s(?:of\s|is\s|[=–—-]+)?)\s*(.+)$/su.exec(text) ?? [];
  const key = keys.find((known) => known === word?.toLowerCase());
  const spoken = key === 'words' ? !value?.startsWith('|') : SPOKEN.has(key ?? '');
  if (key && value && !spoken) {
    return retype(whole, `Write a colon after ${word}: “${key}: ${value}”.`, `${key}: ${value}`);
  }
  if (within === 'form') return undefined;
  const [, verse, sung] = /^words(\d{1,2})\s*:\s*(.*)$/isu.exec(text) ?? [];
  if (verse) return retype(whole, `Write “words ${verse}:”.`, `words ${verse}: ${sung}`);
  if (/^(?:form|order)$/iu.test(text)) return retype(whole, 'Write “form:”.', 'form:');
  if (TAB_LINE.test(text)) {
    const cure =
      'Tab goes into a lead line, as “part Guitar: | 8 3/5 h7 |”; a comment keeps it as it is.';
    return { cure, remedy: asComment(whole) };
  }
  const shape = within === 'head' ? cureOfShape(text, whole) : undefined;
  if (shape) return shape;
  if (/^\d{1,2}\/\d{1,2}$/.test(text))
    return retype(whole, `Write “meter: ${text}”.`, `meter: ${text}`);
  if (/^(?:.{1,3}\s*=\s*)?\d{2,3}(?:\s*bpm)?$/iu.test(text)) {
    const tempo = text.replace(/\s*bpm$/iu, '');
    return retype(whole, `Write “tempo: ${tempo}”.`, `tempo: ${tempo}`);
  }
  return undefined;
}

/** "shape: G = 320003", "shape G: 320003", "G = 320003". */
function cureOfShape(text: string, whole: TextPart): Doubt | undefined {
  const [, symbol, frets] =
    /^(?:shape\s*:?\s*)?([A-H][^\s=:]*)\s*[=:]\s*([xX\d][xX\d.\s-]{4,}!?)$/u.exec(text) ?? [];
  if (symbol === undefined || frets === undefined) return undefined;
  const wanted = `shape ${symbol} = ${frets}`;
  return retype(whole, `Write “${wanted}”.`, wanted);
}

/** Chords without bar lines, or bar lines above the first section. */
function cureOfBars(whole: TextPart, { within }: LinePlace): Doubt | undefined {
  const bars = barsOf(whole.text);
  if (bars !== undefined && within === 'section') {
    return retype(whole, `Put bar lines around bars: “${bars}”.`, bars, 'Put bar lines in');
  }
  if (bars !== undefined) {
    const cure = `Put a section’s name in [ ] above it, e.g. “[Verse]”, and bar lines around bars: “${bars}”.`;
    return retype(whole, cure, `[Verse]\n${bars}`, 'Make it a section');
  }
  if (!whole.text.includes('|')) return undefined;
  const cure = 'Start a line of bars with |, under a section’s name in [ ].';
  const start = whole.text.startsWith('|') ? whole.text : `| ${whole.text}`;
  return retype(
    whole,
    cure,
    within === 'section' ? start : `[Verse]\n${start}`,
    within === 'section' ? 'Put the bar line in' : 'Make it a section',
  );
}

function cureOfName(whole: TextPart, { within, opens }: LinePlace): Doubt | undefined {
  const { text } = whole;
  if (text.length > LONGEST_NAME || /[[\],:=]/u.test(text)) return undefined;
  if (opens && !SECTION_NAME.test(text)) {
    return retype(whole, `If it is the title, write “title: ${text}”.`, `title: ${text}`);
  }
  if (within === 'section' && !SECTION_NAME.test(text) && text.includes(' ')) return undefined;
  return retype(whole, `If it is a section’s name, write “[${text}]”.`, `[${text}]`);
}

/** Several words under bars are sung. */
function cureOfSung(whole: TextPart, { within }: LinePlace): Doubt | undefined {
  if (within !== 'section' || !/\p{L}\p{L}\s+\p{L}/u.test(whole.text)) return undefined;
  const cure = 'Start a line of bars with |, or write “words: | … |” if it is sung.';
  return retype(whole, cure, `words: ${whole.text}`, 'It is sung');
}

/** "G D" → "| G | D |"; undefined where a word looks like no chord. */
function barsOf(text: string): string | undefined {
  const words = text.split(/\s+/u);
  return words.every((word) => CHORDLIKE.test(word)) ? `| ${words.join(' | ')} |` : undefined;
}

/**
 * Why a word before a colon is probably a mistake: a section's name, a field that belongs elsewhere, or
 * a slip of the fingers. Undefined for a field that is only kept.
 */
export function cureOfKey(
  name: string,
  value: string,
  within: LinePlace['within'],
  whole: TextPart,
  atTop: (key: string) => boolean = () => false,
): Doubt | undefined {
  const key = name.toLowerCase();
  if (within === 'section' && /^(?:lyrics?|text|sung|vocals?)$/u.test(key))
    return retype(whole, `Write “words: ${value}”.`, `words: ${value}`);
  if (within === 'section' && /^(?:lead|riff|lick|hook|melody|tab|guitar.*)$/u.test(key))
    return leadMeant(name, value, whole);
  if (SECTION_NAME.test(name) || value.startsWith('|')) {
    const text = value === '' ? `[${name}]` : `[${name}]\n${barsOf(value) ?? value}`;
    return retype(
      whole,
      `If it is a section’s name, write “[${name}]”.`,
      text,
      `Write “[${name}]”`,
    );
  }
  const own: readonly string[] = within === 'section' ? SECTION_KEYS : HEAD_KEYS;
  const near = nearestOf(key, own);
  if (near) return retype(whole, `Did you mean “${near}:”?`, `${near}: ${value}`);
  if (within !== 'section') return cureOfShape(whole.text, whole);
  const above = HEAD_KEYS.find((other) => other === (SYNONYMS.get(key) ?? key));
  if (!above) return undefined;
  if (atTop(above)) return keptHere(above, value, whole);
  return {
    cure: 'Write it above the first section.',
    remedy: {
      label: 'Move it to the top',
      edits: [
        { line: 1, column: 1, length: 0, text: `${above}: ${value}\n` },
        { ...replace(whole, '') },
      ],
    },
  };
}

/** "lead: Hook, bar 1" and "riff: | 8 3/5 |" are a lead line, the latter with its part. */
function leadMeant(name: string, value: string, whole: TextPart): Doubt {
  if (!value.startsWith('|')) return retype(whole, `Write “line: ${value}”.`, `line: ${value}`);
  const head = `line: ${name.charAt(0).toUpperCase()}${name.slice(1)}, bar 1`;
  return retype(
    whole,
    `Write “${head}” and below it “part Guitar: …”.`,
    `${head}\npart Guitar: ${value}`,
  );
}

/** What a song says once stays at the top; what changes on the way is a remark there, a second title a comment. */
function keptHere(key: string, value: string, whole: TextPart): Doubt {
  const text = ['key', 'capo', 'tuning'].includes(key)
    ? `remark: ${key} ${value}`
    : `# ${whole.text}`;
  const cure = `“${key}:” stands at the top already; what is said here can be a remark or a comment.`;
  return retype(whole, cure, text);
}

/** A slip of one sign in a short word, of two in a longer one. */
function nearestOf(word: string, known: readonly string[]): string | undefined {
  return known.find(
    (other) =>
      other.length > 2 &&
      other !== word &&
      editDistance(word.slice(0, 20), other) <= (other.length > 4 ? 2 : 1),
  );
}
