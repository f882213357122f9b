// What stands above a song: its title, who wrote it, and facts in parentheses or in columns of their own beside them.
import { type FieldValues, factsIn } from './fields.ts';

/** "by …", "words and music: …" under the title, in some languages. */
const BY =
  /^(?:(?:(?:words|lyrics|music|text|worte|musik|written|sung)(?:\s*(?:&|\+|\/|and|und)\s*(?:words|lyrics|music|text|musik))?\s+)?(?:by|von|de)\s*:?\s+|(?:words|text|worte)\s*(?:&|\+|\/|and|und)\s*(?:music|musik)\s*:\s*)(.+)$/iu;
/** A few words without the end of a sentence may be a name. */
const NAMELIKE = /^\(?\p{Lu}[^.!?=:]*(?:\.\s?[^.!?=:]+)*\)?$/u;
/** "(in E)" behind a title. */
const IN_KEY = /\s+\((?:in|key of)\s[^()]{1,12}\)$/iu;
/** Columns of a line. */
const COLUMNS = /\s{3,}|\t+|\s+[|‖·•]\s+/u;
const IN_PARENTHESES = /\(([^()]*)\)/gu;

/** "Tune: Railway Tea" */
const TITLE_WORD = /^(?:title|song|tune|titel|lied)\s*[:=]\s*(?=\S)/iu;

/** What a line of the top is without what pages add to it. */
export const bareTop = (text: string): string =>
  text.replace(/^[\s*#=_]+|[\s*#=_]+$|\s{2,}(?:(?:page|seite)\s|p\.\s?\d).*$/giu, '');

/** Facts beside a name, never inside it: "Ferry at Noon (capo 3)", "Copper Wire      drop D". */
export const factsBeside = (text: string): FieldValues =>
  factsIn(besides(bareTop(text)).join('; ')).found;

/** Everything in parentheses, and all columns behind the first. */
export const besides = (text: string): readonly string[] => [
  ...text.split(COLUMNS).slice(1),
  ...[...text.matchAll(IN_PARENTHESES)].map(([, inside]) => inside!),
];

const isFact = (text: string): boolean => Object.keys(factsIn(text).found).length > 0;

/** A name without the facts beside it. */
export function withoutFacts(text: string): string {
  const columns = text.split(COLUMNS);
  const name = columns.length > 1 ? columns.filter((part) => !isFact(part)).join(' ') : text;
  return name
    .replace(IN_PARENTHESES, (typed, inside: string) => (isFact(inside) ? '' : typed))
    .replace(/\s+/gu, ' ')
    .trim();
}

/** "Name – Writer", "Name by Writer"; behind a dash a small letter starts no name. */
export function partedTitle(text: string): { readonly left: string; readonly right?: string } {
  const [, left, sign, right] = /^(.{2,60}?)\s+([-–—]|by)\s+(.{2,60})$/iu.exec(text) ?? [];
  const name = (left ?? text).replace(IN_KEY, '').replace(TITLE_WORD, '');
  if (left === undefined || right === undefined) return { left: name };
  const small = !/^by$/iu.test(sign!) && /^\p{Ll}/u.test(right) && /^\W*[\p{Lu}\d]/u.test(left);
  return small ? { left: name } : { left: name, right };
}

/** The writer's name on a line under the title; a line that tells of the song is none. */
export function writerIn(line: string): string | undefined {
  const text = withoutFacts(line);
  const named = BY.exec(text)?.[1];
  if (named !== undefined) return named;
  return NAMELIKE.test(text) && !isFact(text) && roughTempo(text) === undefined ? text : undefined;
}

/** "about 84" says a tempo where it says one beside words for how it is played. */
export function roughTempo(text: string): number | undefined {
  const [, bpm] =
    /\b(?:about|around|circa|ca\.?|etwa)\s+(\d{2,3})(?!\d|\s*\p{L})/iu.exec(text) ?? [];
  const at = Number(bpm);
  return at >= 40 && at <= 260 ? at : undefined;
}
