// Reads strums from slash notation with bowing marks: in words where they agree, else from the strokes themselves.
import { same } from '../../../base/same.ts';
import {
  type Rational,
  add,
  compare,
  equals,
  mul,
  rational,
  sub,
  toNumber,
} from '../../../base/rational.ts';
import { barLength } from '../../../rhythm/meter.ts';
import type { StrokeTouch, StrumCell, StrumPattern } from '../../../model/chart.ts';
import { SILENCE } from '../../../chart/rules/head.ts';
import { strumFits } from '../../../rhythm/fit-strum.ts';
import { type BarStroke, checkStrum, parseStrum } from '../../../rhythm/strum.ts';
import {
  NOTHING_BEFORE,
  type PaperBar,
  type PaperBefore,
  type PaperStroke,
  chordAt,
  strokesOnPaper,
  withoutIdleRests,
  PLAIN_STRUM,
} from '../strum-paper.ts';
import type { SheetBar } from '../sheet.ts';
import { halvesOf, ringing } from '../strum-halves.ts';
import { type XmlNode, childAt, textAt } from '../xml-read.ts';
import { hasSign, signsOf } from './notes.ts';

/** One note or rest of a measure, as far as it can be a stroke. */
export interface RhythmNote {
  readonly at: Rational;
  readonly voice: string;
  /** A struck note without a bowing mark has no cell; a note that goes on from a tie is 'held'. */
  readonly kind: 'struck' | 'held' | 'rest';
  readonly slash: boolean;
  readonly cell?: BarStroke['cell'];
}

/** What a measure says about its rhythm. */
export interface Rhythm {
  readonly notes: readonly RhythmNote[];
  /** Are the slashes mere beats, shown without stems whatever the notes are? */
  readonly beatSlashes: boolean;
}

const CROSSES = ['x', 'cross', 'circle-x'];

/** `stems`: is a style in force that shows every note as a slash with its stem? */
export function rhythmNote(note: XmlNode, at: Rational, stems: boolean): RhythmNote {
  const voice = textAt(note, 'voice') ?? '1';
  if (childAt(note, 'rest'))
    return { at, voice, kind: 'rest', slash: false, cell: { kind: 'rest' } };
  const head = textAt(note, 'notehead') ?? '';
  const muted = CROSSES.includes(head);
  const slash = stems || muted || head.startsWith('slash');
  if (isHeld(note)) return { at, voice, kind: 'held', slash };
  const direction = directionOf(signsOf(note, 'technical'));
  if (!direction) return { at, voice, kind: 'struck', slash };
  const signs = signsOf(note, 'articulations');
  const accent = hasSign(signs, 'accent') || hasSign(signs, 'strong-accent');
  const touch = muted ? undefined : touchOf(note, signs);
  const cell = { kind: 'stroke' as const, direction, accent, muted, ...(touch && { touch }) };
  return { at, voice, kind: 'struck', slash, cell };
}

/** A dot is a short stroke; the palm mutes by the standard's `mute`, which some programs leave out. */
function touchOf(note: XmlNode, signs: readonly XmlNode[]): StrokeTouch | undefined {
  if (textAt(note, 'play', 'mute') === 'palm') return 'damped';
  return hasSign(signs, 'staccato') ? 'short' : undefined;
}

function directionOf(signs: readonly XmlNode[]): 'down' | 'up' | undefined {
  if (hasSign(signs, 'down-bow')) return 'down';
  return hasSign(signs, 'up-bow') ? 'up' : undefined;
}

/** Does it go on from a tie, as it sounds or as it is written? */
const isHeld = (note: XmlNode): boolean =>
  stops(note.children, 'tie') || stops(signsOf(note), 'tied');

const stops = (nodes: readonly XmlNode[], sign: string): boolean =>
  nodes.some(({ name, attributes }) => name === sign && attributes.type === 'stop');

/** Follows the strum from bar to bar. */
export class StrumReader {
  /** What words said last: a pattern, no pattern, or nothing yet. */
  private words?: StrumPattern | 'plain';
  private last?: StrumPattern;
  private before: PaperBefore = NOTHING_BEFORE;
  /** Bars since the section began: a pattern over two bars starts anew with it. */
  private turn = 0;
  /** The turn at which words began a pattern of a bar's own. */
  private ownFrom?: number | undefined;
  /** Patterns that were found in strokes, not in words. */
  private readonly found = new WeakSet<StrumPattern>();

  /** The pattern over two bars that words said and of which a bar of this meter plays half. */
  wholeFor({ meter }: PaperBar): Pick<SheetBar, 'wholeStrum' | 'wholeIsOwn'> {
    const { words } = this;
    if (!words || words === 'plain' || !halvesOf(words, meter)) return {};
    return { wholeStrum: words, ...(this.ownFrom !== undefined && { wholeIsOwn: true as const }) };
  }

  /** A section starts. */
  begin(): void {
    this.turn = 0;
    this.ownFrom = undefined;
  }

  /** Were these words about the strum? */
  readWords(words: string): boolean {
    if (words === PLAIN_STRUM) this.words = 'plain';
    const own = /^\{(.*)\}$/su.exec(words)?.[1];
    const strum = parseStrum(own ?? words);
    if (strum.ok) this.words = strum.value;
    if (strum.ok) this.ownFrom = own === undefined ? undefined : this.turn;
    return strum.ok || words === PLAIN_STRUM;
  }

  /** The strum of the next bar; 'unfit' where its strokes fit no grid. */
  next(bar: PaperBar, rhythm: Rhythm): StrumPattern | 'unfit' | undefined {
    const notes = voiceOfStrum(rhythm.notes);
    const strokes = withoutIdleRests(notes.flatMap(strokeOf), this.before);
    const strum = this.strumOf(bar, notes, strokes, rhythm);
    const end = notes.at(-1)?.kind;
    this.before = {
      chord: chordAt(bar, this.before, bar.length),
      silent: end === undefined ? this.before.silent : end === 'rest',
    };
    if (!isRinging(notes)) this.last = strum === 'unfit' ? undefined : strum;
    if (!bar.pickup) this.turn++;
    return strum;
  }

  private strumOf(
    bar: PaperBar,
    notes: readonly RhythmNote[],
    strokes: readonly PaperStroke[],
    rhythm: Rhythm,
  ): StrumPattern | 'unfit' | undefined {
    const said = this.words === 'plain' ? undefined : this.words;
    const halves = said && halvesOf(said, bar.meter);
    const second =
      this.ownFrom === undefined
        ? bar.pickup || this.turn % 2 === 1
        : (this.turn - this.ownFrom) % 2 === 1;
    const [due, other] = halves && second ? halves.toReversed() : (halves ?? [said]);
    if (isMarked(notes)) {
      const last = this.last && strumFits(this.last, bar.meter) ? this.last : undefined;
      const known = [due, other, last].find((s) => s && this.agrees(bar, s, strokes));
      return known ?? this.patternOf(bar, strokes);
    }
    if (this.words === undefined && isRinging(notes)) return ringing(bar.meter);
    if (halves && notes.length > 0)
      return [due, other].find((s) => s && this.agrees(bar, s, strokes)) ?? due;
    if (this.words !== undefined || !this.last || rhythm.beatSlashes) return due;
    const unmarked =
      notes.length > 0 && notes.every(({ kind, slash }) => kind !== 'struck' || slash);
    return unmarked && this.sameMoments(bar, this.last, notes) ? this.last : undefined;
  }

  private agrees(bar: PaperBar, strum: StrumPattern, strokes: readonly PaperStroke[]): boolean {
    const wanted = strokesOnPaper(bar, strum, this.before);
    return (
      wanted.length === strokes.length &&
      wanted.every(
        ({ at, cell }, i) => equals(at, strokes[i]!.at) && sameCell(cell, strokes[i]!.cell),
      )
    );
  }

  /** A bar whose strokes lack their marks goes on in the strum whose rhythm it has. */
  private sameMoments(bar: PaperBar, strum: StrumPattern, notes: readonly RhythmNote[]): boolean {
    const struck = notes.filter(({ kind }) => kind === 'struck');
    const wanted = strokesOnPaper(bar, strum, this.before).filter((s) => s.cell.kind === 'stroke');
    return (
      struck.length > 0 &&
      wanted.length === struck.length &&
      wanted.every(({ at }, i) => equals(at, struck[i]!.at))
    );
  }

  /** The shortest pattern that fits the bar, on the widest grid, that makes these strokes. */
  private patternOf(bar: PaperBar, strokes: readonly PaperStroke[]): StrumPattern | 'unfit' {
    const full = barLength(bar.meter);
    const offset = sub(full, bar.length);
    const placed = strokes
      .filter(({ at }) => chordAt(bar, this.before, at) !== SILENCE)
      .map(({ at, cell }) => ({ at: add(at, offset), cell }));
    const grid = ([2, 3, 4] as const).find(
      (g) => g % full.d === 0 && placed.every(({ at }) => g % at.d === 0),
    );
    if (!grid) return 'unfit';
    const count = toNumber(mul(full, rational(grid)));
    const cells = Array.from({ length: count }, (): StrumCell => ({ kind: 'ring' }));
    for (const { at, cell } of placed) cells[toNumber(mul(at, rational(grid)))] = cell;
    const patterns = Array.from({ length: count }, (_, i) => i + 1)
      .flatMap((length) =>
        [cells, withRestFirst(cells)].map((all) => ({ grid, cells: all.slice(0, length) })),
      )
      .filter((pattern) => strumFits(pattern, bar.meter));
    const fits = patterns.find((p) => checkStrum(p).ok && this.agrees(bar, p, strokes));
    if (fits) this.found.add(fits);
    return fits ?? 'unfit';
  }

  /** A pickup shows only the end of a pattern: that of the bar after it, where it has the same strokes. */
  ofPickup(
    pickup: PaperBar & { readonly strum?: StrumPattern },
    after: StrumPattern | undefined,
  ): StrumPattern | undefined {
    const own = pickup.strum;
    if (!own || !after || !this.found.has(own)) return own;
    const strokesOf = (strum: StrumPattern) => strokesOnPaper(pickup, strum, NOTHING_BEFORE);
    return same(strokesOf(own), strokesOf(after)) ? after : own;
  }
}

/** Where nothing sounded before, a bar that begins with a rest looks like one that lets ring. */
const withRestFirst = ([first, ...others]: readonly StrumCell[]): readonly StrumCell[] =>
  first?.kind === 'ring' ? [{ kind: 'rest' }, ...others] : [first!, ...others];

/** Rhythm may stand in any voice: that with marks, else the first. */
function voiceOfStrum(notes: readonly RhythmNote[]): readonly RhythmNote[] {
  const voices = [...Map.groupBy(notes, ({ voice }) => voice).values()];
  const chosen = voices.find(isMarked) ?? voices[0] ?? [];
  return chosen.toSorted((a, b) => compare(a.at, b.at));
}

/** Strokes that are all slashes or crosses with bowing marks; a tune with bowings is none. */
const isMarked = (notes: readonly RhythmNote[]): boolean =>
  notes.some(({ kind }) => kind === 'struck') &&
  notes.every(({ kind, slash, cell }) => kind !== 'struck' || (slash && cell !== undefined));

/** Nothing but slashes that go on from before. */
const isRinging = (notes: readonly RhythmNote[]): boolean =>
  notes.length > 0 && notes.every(({ kind, slash }) => kind === 'held' && slash);

const strokeOf = ({ at, kind, cell }: RhythmNote): PaperStroke[] =>
  kind !== 'held' && cell ? [{ at, cell }] : [];

type Cell = BarStroke['cell'];

function sameCell(a: Cell, b: Cell): boolean {
  if (a.kind === 'rest' || b.kind === 'rest') return a.kind === b.kind;
  return (
    a.direction === b.direction &&
    a.accent === b.accent &&
    a.muted === b.muted &&
    a.touch === b.touch
  );
}
