// What is known of a sheet before its lines are read together: how it frames its names, where it sets them.
import type { Dialect } from './dialect.ts';
import type { Frame, Label } from './labels.ts';
import type { Line } from './line.ts';
import { bracketedIn } from './tokens.ts';

/** What is known of the sheet before its lines are read together. */
export interface Manner {
  readonly dialect: Dialect;
  /** Its first line, which pages may repeat. */
  readonly top: string | undefined;
  /** How often each frame stands around a name of the trade. */
  readonly frames: ReadonlyMap<Frame, number>;
  readonly headings: number;
  /** How many lines are a short form of a name and nothing else. */
  readonly shorts: number;
  /** Are its parts called by letters, each alone above its chords? */
  readonly lettered: boolean;
  /** Do names and letters stand before bars in a margin of their own, so that no line of bars begins with a chord? */
  readonly margin: boolean;
  /** Do several chords of a line stand in brackets? */
  readonly bracketed: boolean;
  /** The share of its lines of words that have chords. */
  readonly covered: number;
  /** Do most of its words stand in capitals? */
  readonly loud: boolean;
}

/** How the sheet is laid out, by which its lines are told apart. */
export function mannerOf(lines: readonly Line[], dialect: Dialect): Manner {
  const frames = framesOf(lines, dialect);
  const headings = [...frames.values()].reduce((sum, count) => sum + count, 0);
  const shorts = lines.filter(
    ({ label, gap }, i) =>
      label?.known === 'short' && label.rest === '' && (gap || (lines[i + 1]?.lean ?? 0) < 0),
  ).length;
  const letters = lines.filter(
    ({ label, gap, open }, i) =>
      label?.known === 'letter' &&
      label.rest === '' &&
      gap &&
      !open &&
      (lines[i + 1]?.lean ?? 0) < 0,
  );
  const lettered = letters.length > 1 && letters[0]!.label!.name === 'A';
  const sung = lines.filter(({ lean }) => lean > 0);
  const loud = sung.filter(({ text }) => text === text.toUpperCase()).length > sung.length * 0.6;
  const covered = coveredIn(lines);
  const top = lines[0]?.text.trim();
  const margin = hasMargin(lines);
  const bracketed = lines.some(({ text }) => bracketedIn(text, dialect.symbolOf).length > 1);
  return { dialect, top, frames, headings, shorts, lettered, margin, bracketed, covered, loud };
}

/** Before the first bar line of each line of bars stands a name, a letter or nothing, and not always a letter. */
function hasMargin(lines: readonly Line[]): boolean {
  const barred = lines.filter(({ text }) => /[|‖].*[|‖]/u.test(text));
  const before = barred.map(({ text, label }) => {
    const head = /^[^|‖]*/u.exec(text)![0].trim();
    if (head === '' || head === ':') return 'nothing';
    return label && label.known !== 'own' && /^\s*[|‖:]/u.test(text.slice(label.restAt - 1))
      ? label.known
      : 'other';
  });
  // A short form of a name is a letter, too: "C" alone is a chord as well as a chorus.
  return !before.includes('other') && before.some((kind) => kind !== 'letter' && kind !== 'short');
}

/** "[B]" alone on its line, where no chords stand in brackets. */
export const isPart = (label: Label | undefined, { bracketed }: Manner): boolean =>
  !bracketed && label?.known === 'letter' && label.frame === 'square' && label.rest === '';

/** "A:  D5 | G", "[A]  D5 | G", "A   |: Em | G": a letter that names a part, not the chord. */
export const isLetterOf = (label: Label | undefined, { margin, bracketed }: Manner): boolean =>
  label !== undefined &&
  label.rest !== '' &&
  (label.known === 'letter'
    ? margin || label.frame === 'colon' || (label.frame === 'square' && !bracketed)
    : label.known === 'short' && margin && /^[A-Z]$/u.test(label.name));

/** Between its first chords and its last ones. */
function coveredIn(lines: readonly Line[]): number {
  const has = lines.map(
    ({ text, lean, gap }, i) =>
      /\[.+\]/u.test(text) || (!gap && lean > 0 && (lines[i - 1]?.lean ?? 0) < 0),
  );
  const sung = lines
    .map(({ lean, label }, i) => ({ sung: lean > 0 && label?.known !== 'name', has: has[i]! }))
    .slice(has.indexOf(true), has.lastIndexOf(true) + 1)
    .filter((line) => line.sung);
  return sung.filter((line) => line.has).length / Math.max(1, sung.length);
}

/** How often each frame stands around a name of the trade; where none has one, around what stands above chords. */
function framesOf(lines: readonly Line[], { inline }: Dialect): ReadonlyMap<Frame, number> {
  const count = (isHeading: (label: Label, i: number) => boolean): Map<Frame, number> => {
    const frames = new Map<Frame, number>();
    lines.forEach(({ label }, i) => {
      if (label && isHeading(label, i)) frames.set(label.frame, (frames.get(label.frame) ?? 0) + 1);
    });
    return frames;
  };
  const known = count(
    ({ known: kind, rest, frame }, i) =>
      kind === 'name' && lines[i]!.lean >= 0 && !(rest !== '' && frame === 'plain'),
  );
  if (known.size > 0) return known;
  return count(
    ({ known: kind, rest, frame }, i) =>
      kind === 'own' &&
      rest === '' &&
      FRAMED.has(frame) &&
      lines[i]!.gap &&
      !lines[i]!.open &&
      ((lines[i + 1]?.lean ?? 0) < 0 || (inline && lines[i + 1]!.text.includes('['))),
  );
}

const FRAMED: ReadonlySet<Frame> = new Set([
  'square',
  'round',
  'curly',
  'angle',
  'signs',
  'lead',
  'colon',
]);
