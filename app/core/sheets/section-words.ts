// The words that name sections, in English, German and a dozen other languages (common practice, no source).

const setOf = (...lines: readonly string[]): ReadonlySet<string> =>
  new Set(lines.flatMap((line) => line.split(' ')));

/** Words that say little else on a line of their own. */
const NAMES = setOf(
  'intro introduction verse verses chorus choruses bridge solo interlude instrumental instrumentals turnaround outro coda vamp prelude postlude prechorus postchorus reprise fadeout',
  'vers verse strophe strophen refrain ref refr refrains kehrvers brücke bruecke brucke zwischenspiel vorspiel nachspiel einleitung überleitung instrumentalteil zwischenteil mittelteil schlussteil vorrefrain',
  'couplet couplets pont estrofa verso estribillo coro puente interludio copla estrofe refrão ponte strofa ritornello inciso intermezzo',
  'refrein tussenspel voorspel naspel refräng refreng omkvæd mellemspil mellanspel mellomspill zwrotka refren mostek wstęp',
  'sloka refrén mezihra předehra säkeistö kertosäe väliosa versszak куплет припев проигрыш вступление',
);

/** Words that are sung as well: they name a section where they stand as headings do. */
const WEAK = setOf(
  'break breakdown riff ending end tag hook part section lift build buildup fill lead lick final finale finish theme thema motif head rap call response jam drop transition pickup opening closing melody chant middle bit voice voices figure',
  'schluss ende teil ruf antwort auftakt melodie stimme voix voz eight entrada final',
);

/** Words that stand beside a name. */
const BESIDE = setOf(
  'the a first second third fourth fifth last final next short long half double full main big quiet soft loud slow fast little guitar piano bass drum drums sax organ fiddle harmonica vocal vocals acoustic electric instrumental pre post mid extended alternate alt new old down up',
  'erste erster zweite zweiter dritte dritter letzte letzter kurzes kurze sista gitarren gitarre',
);

/** They say that a section comes again, and are no part of its name. */
const AGAIN = setOf('repeat again wdh wiederholung wiederholen nochmal da capo bis rpt');

/** Short forms, which need a figure, a colon or a frame. */
const SHORT = setOf(
  'v vs vrs ch chor cho c pre prech pc br brdg int out outr sol inst instr inter str zw zwsp vsp nsp rf r',
);

/** German compounds: "Schlussrefrain", "Gitarrensolo". */
const COMPOUND = /(?:refrain|strophe|chorus|zwischenspiel|intro|outro|solo)$/u;
const NUMBER_WORD = setOf('one two three four five six eins zwei drei vier');
const ROMAN = /^(?:i{1,3}|iv|vi{0,3}|ix|x)$/u;

export type Known = 'name' | 'weak' | 'short';

export interface NameFound {
  readonly name: string;
  /** Where what follows the name starts. */
  readonly end: number;
  readonly known: Known;
  /** Is it said to come again? */
  readonly again: boolean;
}

interface Piece {
  readonly text: string;
  readonly at: number;
}

const PIECE = /\p{L}[\p{L}\p{M}]*['’]?|\d{1,2}(?:st|nd|rd|th)?(?!\d)|[#&+/-]/gu;

/** Only spaces and full stops of short forms stand between the words of one name. */
const together = (text: string, from: number, to: number): boolean =>
  /^[ \u2009]?$|^\. ?$/u.test(text.slice(from, to));

/**
 * The name of a section that a text starts with: "Verse 2", "Last chorus", "Bridge / Solo", "2nd verse", "A-Teil".
 * What follows may be anything; undefined where the first words name none.
 */
export function nameAtStart(text: string): NameFound | undefined {
  const from = /^(?:\d{1,2}|[a-h])[.)]\s+(?=\p{L})/iu.exec(text)?.[0].length ?? 0;
  let end = from;
  let last = from;
  let known: Known | undefined;
  let again = false;
  let start = from;
  for (const { text: piece, at } of pieces(text, from)) {
    if (!together(text, last, at)) break;
    const kind = kindOf(piece, text, at, known, at === start);
    if (kind === 'stop') break;
    last = at + piece.length;
    if (kind === 'again') {
      again = true;
      if (known === undefined) start = last + (/^\s*/u.exec(text.slice(last))?.[0].length ?? 0);
      continue;
    }
    if (kind === 'join') continue;
    if (kind !== 'beside' && kind !== 'number') known = stronger(known, kind);
    if (known !== undefined) end = last;
  }
  if (known === undefined) return undefined;
  // "Chorus again": what says so belongs to the name, and is not kept.
  const rest =
    /^[\s(]*(?:repeat|again|wdh\.?|wiederholen|nochmals?|noch einmal|bis|idem|(?:wie|as|like|comme|come|como|som|als|zoals) (?:oben|vorher|zuvor|above|before|the first|avant|ci-dessus|sopra|prima|antes|arriba|ovan|boven))\b[)\s]*/iu.exec(
      text.slice(end),
    );
  return {
    name: text.slice(start, end),
    end: end + (rest?.[0].length ?? 0),
    known,
    again: again || rest !== null,
  };
}

const pieces = (text: string, from: number): Piece[] =>
  [...text.slice(from).matchAll(PIECE)].map((match) => ({
    text: match[0],
    at: from + match.index,
  }));

const stronger = (a: Known | undefined, b: Known): Known =>
  a === 'name' || b === 'name' ? 'name' : a === 'weak' || b === 'weak' ? 'weak' : 'short';

function kindOf(
  piece: string,
  text: string,
  at: number,
  known: Known | undefined,
  first: boolean,
): Known | 'beside' | 'number' | 'join' | 'again' | 'stop' {
  const word = piece.toLowerCase();
  if (
    /^[#&+/-]$|^(?:and|und|et|y|i)$/u.test(word) &&
    known !== undefined &&
    !isFigure(word, text, at)
  )
    return 'join';
  if (known !== undefined && isFigure(word, text, at)) return 'number';
  if (AGAIN.has(word)) return 'again';
  if (NAMES.has(word) || (word.length > 8 && COMPOUND.test(word))) return 'name';
  if (WEAK.has(word)) return 'weak';
  if (/^\d{1,2}(?:st|nd|rd|th)$/u.test(word) || BESIDE.has(word)) return 'beside';
  if (word === '-' && !first) return 'join';
  if (
    first &&
    /^[a-h]$/u.test(word) &&
    /^[A-Ha-h][- ](?:section|part|teil)\b/iu.test(text.slice(at))
  )
    return 'beside';
  if (known === undefined && SHORT.has(word)) return 'short';
  return 'stop';
}

/** "2", "II", "two", "B" behind a name; "x2" and "2x" are counts. */
function isFigure(word: string, text: string, at: number): boolean {
  const behind = text.slice(at + word.length);
  if (/^\d{1,2}$/u.test(word)) return !/^\s*(?:[x×](?!\s*\d|\p{L})|times\b|mal\b)/iu.test(behind);
  if (word === 'x' && /^\s*\d/u.test(behind)) return false;
  if (ROMAN.test(word) || NUMBER_WORD.has(word)) return true;
  return /^[a-h]['’]?$/u.test(word) && /^\s*(?:$|[:)\]}>.*=–-])/u.test(behind);
}
