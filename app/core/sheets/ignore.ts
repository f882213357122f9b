// What stands in a sheet and is no song: tab staves, credits, page numbers, addresses, rules.

import { Remembered } from '../base/remembered.ts';
import { MOST_KNOWN } from './text.ts';

export const RUNNING_HEAD = 'a running head';
export const STAFF_OF_TAB = 'a tab staff';
export const CHORD_SHAPE = 'a chord shape';
export const CHORD_LIST = 'a list of chords';

const known = new Remembered<string, string | undefined>(MOST_KNOWN);

/** Why a line is left out; undefined for one that may matter. */
export const whyLeftOut = (line: string): string | undefined =>
  known.of(line, () => findReason(line));

function findReason(line: string): string | undefined {
  const text = line.trim();
  if (/^[-=_*~.•·+#]{3,}$/u.test(text)) return 'a rule';
  if (JUMP.test(text)) return 'a jump; say under “form:” what is played then';
  if (isTab(text) || STAFF_NAME.test(text)) return STAFF_OF_TAB;
  if (
    /^[-–—\s(\[]*(?:page|seite|p\.)?\s*\d{1,3}\s*(?:(?:\/|of|von)\s*\d{1,3})?[-–—\s)\]]*$/iu.test(
      text,
    )
  )
    return 'a page number';
  if (
    /(?:[-–—|·,]|\s{2})\s*(?:page|seite|p\.)\s*\d{1,3}(?:\s*(?:\/|of|von)\s*\d{1,3})?$/iu.test(text)
  )
    return RUNNING_HEAD;
  if (/^[-=_*~.•·+#\s]{3,}$/u.test(text)) return 'a rule';
  if (/(?:https?:\/\/|www\.|\w@\w)/iu.test(text)) return 'an address';
  if (
    /^(?:chords?|akkorde|griffe|shapes|diagrams)(?: (?:used|in this song|needed))?\s*:/iu.test(text)
  )
    return CHORD_LIST;
  if (
    /^\{\s*(?:\w+\s*:[^{}]*|\w*_\w*|[se]o[cvbtg])\s*\}$/iu.test(text) &&
    !/^\{\s*\w{4,}\s*:\s*\p{Lu}\p{Ll}+\s*\}$/u.test(text)
  )
    return 'a command to another program';
  if (CREDIT.test(text) || RIGHTS.test(text)) return 'a credit';
  if (
    /^\s*(?:[eadgbh]|low e|high e)?\s*[:=]?\s*(?:[x\d]-?){6}\s*$/iu.test(text) ||
    /^(?:[A-H][#b]?(?:m|maj|sus|add|\d|\/[A-G])*\s*[:=]\s*[xX\d][xX\d-]{4,}[\s,;]*)+$/u.test(
      text,
    ) ||
    /^[A-H][#b]?(?:m|maj|sus|add|\d|\/[A-G])*\s*[:=]\s*[xX\d](?:[\s-]?[xX\d]){4,5}$/u.test(text)
  )
    return CHORD_SHAPE;
  if (isOfPage(text)) return 'a part of the page';
  if (SHAPES.test(text) || FOUR_STRINGS.test(text)) return CHORD_SHAPE;
  return undefined;
}

/** "D.S. al Coda", "D.C.", "To Coda" alone on a line; "D C" are two chords, and "Coda" is a part. */
const JUMP =
  /^\W*(?:(?:d\.\s?[cs]\.?|d[cs]\s(?=al\s)|dal segno|da capo)\s*(?:al\s+(?:fine|coda|segno))?|to\s+coda)\W*$/iu;

/** What pages of the web set around a text, alone on its line or in a row of such words. */
const OF_PAGE =
  /^(?:back to (?:the )?top|(?:leave a |add a |show )?comments?(?: \(\d+\))|terms (?:of (?:use|service)|and conditions)|privacy(?: policy)?|cookies?(?: policy)?|log ?in|sign (?:in|up)|subscribe|print(?: this page)?|related songs|(?:nach oben|zurück zum anfang|impressum|datenschutz|drucken|kommentare(?: \(\d+\)))|haut de page|mentions légales|imprimer)$/iu;
/** Words that say so only in a row of them. */
const IN_ROW =
  /^(?:home|songs|artists|search|menu|share|save|copy|download|next|previous|contact|about|help|teilen|start|accueil)$/iu;

function isOfPage(text: string): boolean {
  const pieces = text.split(/[|>·•»/›]/u).map((piece) => piece.trim());
  if (pieces.length === 1) return OF_PAGE.test(pieces[0]!);
  return pieces.filter((piece) => OF_PAGE.test(piece) || IN_ROW.test(piece)).length >= 2;
}

const CREDIT =
  /^(?:copyright|all rights|used by permission|published|transcribed|tabbed|arranged by|arr\.|printed|last (?:edit|update)|updated|for (?:private|personal|educational|non-?commercial|study)|corrections|thanks|alle rechte|nur für|quelle|bearbeitung|satz:|version|difficulty|album|from the album|recorded by|ccli|isrc|chords? (?:by|used|from)|standard tuning|legend|note[s:]|written (?:down )?(?:by|for)|words:|music:|lyrics:|submitted|downloaded|edited by|sheet by)\b/iu;

/** "(c) 2031"; "(C)" alone is a chord. */
const RIGHTS = /^(?:©|\(c\)\s*(?=\d|\s\p{Lu})|\(C\)\s*\d{4})/u;

/** "Cadd9  x32030", one or several on a line. */
const SHAPES = /^(?:[A-H]\S{0,9}\s*[:=]?\s*[xXo\d](?:[\s-]?[xXo\d]){4,5}(?:[\s,;|]+|$))+$/u;

/** "C: 0003  Am: 2000": those of four strings only behind a mark, since a year has four figures, too. */
const FOUR_STRINGS = /^(?:[A-H]\S{0,9}\s*[:=]\s*[xXo\d](?:[\s-]?[xXo\d]){3}(?:[\s,;|]+|$))+$/u;

/** "Gtr 1 (with capo):" above a tab staff. */
const STAFF_NAME = /^(?:gtr|guitar|git|gitarre)\.?\s*\d?\s*(?:\([^()]*\))?\s*:?$/iu;

const STAFF =
  /^(?:[A-Ga-hH][#b♭♯]?\s*)?[|:‖][-–\d\s|hpbrsxtvHPBSXTV/\\~^().*<>=:‖]+$|^[-–\d|hpbrx/\\~^()]{10,}$/u;

/** A string of a tab staff: a letter or a bar line, then dashes with figures between them. */
function isTab(text: string): boolean {
  if (text.length < 6) return false;
  const dashes = (text.match(/[-–]/gu) ?? []).length;
  return dashes >= 4 && dashes >= text.length / 4 && STAFF.test(text);
}
