// Turns the signs of one typed bar into a bar of the model, given the meter it stands in.
import { type Rational, add, compare, mul, rational, sub, sum } from '../../base/rational.ts';
import type { Problem, TextSpan } from '../../base/result.ts';
import { barLength, beatsOf, printMeter } from '../../rhythm/meter.ts';
import type {
  Bar,
  BarContent,
  ChordAt,
  Fermata,
  Meter,
  PaceMark,
  StrumPattern,
} from '../../model/chart.ts';
import { type Slot, evenSlots, pickupFraction, slotsOf, unitSlots } from '../../rhythm/slots.ts';
import { parseStrum } from '../../rhythm/strum.ts';
import type { TypedBar } from './bar-lines.ts';
import { type BarSign, type BeatSign, readSigns } from './bar-signs.ts';
import { parseMeter, parsePin } from './fields.ts';
import { strumProblem } from './strum-fit.ts';

export interface BuiltBar {
  readonly bar: Bar;
  /** The meter from here on. */
  readonly meter: Meter;
  readonly span: TextSpan;
  /** Of each chord, in order. */
  readonly chordSpans: readonly TextSpan[];
  readonly problems: readonly Problem[];
  /** What should be mended, though the bar can be read. */
  readonly advice: readonly Problem[];
  /** Was the number of a repeat typed, as in :| x3? */
  readonly timesTyped: boolean;
}

/** `name` is what messages call the bar: "bar 7 of ‘Bridge’". A bar with problems is built without chords. */
export function buildBar(typed: TypedBar, meterBefore: Meter, name: string): BuiltBar {
  return new BarBuilder(typed, meterBefore, name).build();
}

const isBeatSign = (sign: BarSign): sign is BeatSign =>
  sign.kind === 'chord' || sign.kind === 'beat' || sign.kind === 'split';

class BarBuilder {
  private readonly typed: TypedBar;
  private readonly name: string;
  private readonly signs: readonly BarSign[];
  private readonly problems: Problem[] = [];
  private readonly advice: Problem[] = [];
  private meter: Meter;
  private ownMeter?: Meter;
  private pickup?: Rational;
  /** The pickup in the notes it was typed in, where they are not its own units. */
  private pickupSlots?: readonly Slot[];
  private strum?: StrumPattern;
  private pace?: PaceMark;
  private fermata?: Fermata;
  private remark?: string;

  constructor(typed: TypedBar, meterBefore: Meter, name: string) {
    this.typed = typed;
    this.meter = meterBefore;
    this.name = name;
    const { signs, problems } = readSigns(typed.text);
    this.signs = signs;
    for (const { offset, length, ...problem } of problems) {
      this.problems.push(this.named(problem, this.spanOf(offset, length)));
    }
  }

  build(): BuiltBar {
    const beats = this.signs.filter(isBeatSign);
    this.readExtras(beats.length);
    const chords = this.readContent(beats);
    this.readFermata(beats);
    return {
      bar: this.assemble(chords),
      meter: this.meter,
      span: this.spanOf(0, Math.max(1, this.typed.text.length)),
      chordSpans: chords.map(({ sign }) => this.spanOf(sign.offset, sign.text.length)),
      problems: this.problems,
      advice: this.advice,
      timesTyped: this.typed.after.times !== undefined,
    };
  }

  private assemble(chords: readonly PlacedSign[]): Bar {
    const { before, after } = this.typed;
    const content: BarContent = this.isSimile()
      ? { kind: 'simile' }
      : { kind: 'chords', chords: chords.map((placed) => this.chordOf(placed)) };
    if (after.times !== undefined && !after.repeatEnd) {
      this.problem(
        'repeat-stray',
        `is followed by x${after.times} without a repeat`,
        'Write :| before it.',
      );
    }
    return {
      content,
      ...(this.ownMeter && { meter: this.ownMeter }),
      ...(this.pickup && { pickup: this.pickup }),
      ...(before.repeatStart && { repeatStart: true as const }),
      ...(after.repeatEnd && { repeatEnd: after.times ?? 2 }),
      ...(before.endings && { endings: before.endings }),
      ...(this.strum && { strum: this.strum }),
      ...(this.pace && { pace: this.pace }),
      ...(this.fermata && { fermata: this.fermata }),
      ...(this.remark !== undefined && { remark: this.remark }),
    };
  }

  private isSimile(): boolean {
    return this.signs.some((sign) => sign.kind === 'simile');
  }

  /** Meter, pickup and strum. A meter right after the word "pickup" is the pickup's length. */
  private readExtras(beats: number): void {
    this.signs.forEach((sign, i) => {
      if (sign.kind === 'meter' && this.signs[i - 1]?.kind !== 'pickup') this.readMeter(sign);
      if (sign.kind === 'pickup') this.readPickup(this.signs[i + 1], beats, sign);
      if (sign.kind === 'pace') this.pace = this.once('pace', this.pace, sign.mark, sign);
      if (sign.kind === 'strum') this.readStrum(sign.pattern, sign);
      if (sign.kind === 'remark') this.remark = this.once('remark', this.remark, sign.remark, sign);
    });
  }

  /** A bar has one remark and one mark of each kind; a second one is named. */
  private once<T>(what: 'pace' | 'remark', before: T | undefined, now: T, sign: BarSign): T {
    if (before !== undefined) {
      const has = what === 'pace' ? 'has two tempo marks' : 'has two remarks';
      this.problem(`${what}-twice`, has, 'Keep one of them.', sign);
    }
    return before ?? now;
  }

  /** The beat held is the last one before the next sign: of "G D fermata" in 4/4 the fourth. */
  private readFermata(beats: readonly BeatSign[]): void {
    const mark = this.signs.findIndex((sign) => sign.kind === 'fermata');
    const sign = this.signs[mark];
    if (sign?.kind !== 'fermata') return;
    const before = this.signs.slice(0, mark).filter(isBeatSign).length;
    const slots = slotsOf(this.meter, this.pickup);
    const next = beats.length > 0 && !this.isSimile() ? this.slotsFor(beats)?.[before] : undefined;
    const held = slots.findLast((slot) => !next || compare(slot.at, next.at) < 0);
    if (held) this.fermata = { at: held.at, extra: sign.extra };
    else this.problem('fermata-place', 'has a fermata before its first beat', HOLD_AFTER, sign);
  }

  private readStrum(pattern: string, sign: BarSign): void {
    const strum = parseStrum(pattern);
    if (!strum.ok) return this.addAll(strum.problems, sign);
    this.strum = strum.value;
    const lead = sign.text.length - sign.text.slice(1).trimStart().length;
    const typed = {
      text: pattern,
      line: this.typed.line,
      column: this.typed.column + sign.offset + lead,
    };
    const misfit = this.pickup ? undefined : strumProblem(typed, strum.value, this.meter);
    if (misfit) this.advice.push({ ...misfit, message: `${this.name}: ${misfit.message}` });
  }

  private readMeter(sign: BarSign): void {
    const meter = parseMeter(sign.text);
    if (meter.ok) this.meter = this.ownMeter = meter.value;
    else this.addAll(meter.problems, sign);
  }

  private readPickup(next: BarSign | undefined, beats: number, sign: BarSign): void {
    const slots =
      next?.kind === 'meter' ? slotsOfFraction(next.text) : lastBeats(this.meter, beats);
    const length = sum(slots.map((slot) => slot.length));
    if (slots.length > 0 && compare(length, barLength(this.meter)) < 0) {
      this.pickup = length;
      this.pickupSlots = slots;
    } else {
      const what = `is not shorter than a bar of ${printMeter(this.meter)}`;
      this.problem(
        'pickup-length',
        what,
        'Say its length, e.g. pickup 1/4, or write fewer beats.',
        sign,
      );
    }
  }

  private readContent(beats: readonly BeatSign[]): readonly PlacedSign[] {
    if (this.isSimile()) {
      if (beats.length === 0) return [];
      this.problem('simile-mixed', 'has a simile and other signs', 'Keep one of them.');
      return [];
    }
    const slots = this.slotsFor(beats);
    if (slots) return slots.flatMap((slot, i) => placeSign(beats[i]!, slot));
    if (this.problems.length === 0) this.countProblem(beats);
    return [];
  }

  /** One slot for each sign, or undefined when they do not add up. */
  private slotsFor(beats: readonly BeatSign[]): readonly Slot[] | undefined {
    const slots = slotsOf(this.meter, this.pickup);
    const count = beats.length;
    if (count === slots.length) return slots;
    if (count === 1 && beats[0]!.kind !== 'split') return slots.slice(0, 1);
    if (count === this.pickupSlots?.length) return this.pickupSlots;
    const units = unitSlots(this.meter);
    if (!this.pickup && this.meter.unit >= 8 && count === units.length) return units;
    const evenSplit = beats.every((sign) => sign.kind === 'chord') && slots.length % count === 0;
    if (count === 0 || !evenSplit) return undefined;
    return slots.filter((_, i) => i % (slots.length / count) === 0);
  }

  private countProblem(beats: readonly BeatSign[]): void {
    const wanted = slotsOf(this.meter, this.pickup).length;
    if (beats.length === 0) {
      const cure = 'Write / where the chord before goes on, or % to repeat the bar before.';
      return this.problem('bar-empty', 'is empty', cure);
    }
    const fraction = this.pickup && pickupFraction(this.pickup);
    const lasts = fraction
      ? `the pickup is ${fraction.numerator}/${fraction.unit}`
      : `the meter is ${printMeter(this.meter)}`;
    const has = `has ${beats.length} ${beats.length === 1 ? 'beat' : 'beats'}; ${lasts}`;
    const cure = `Write ${wanted} ${wanted === 1 ? 'beat' : 'beats'}: a chord, / or . for each.`;
    this.problem('bar-beats', has, cure);
  }

  private chordOf({ sign, at }: PlacedSign): ChordAt {
    const pin = sign.pin === undefined ? undefined : parsePin(sign.pin);
    if (pin && !pin.ok) this.addAll(pin.problems, sign);
    return {
      at,
      symbol: sign.symbol,
      ...(pin?.ok && { shape: pin.value.frets, ...(pin.value.kept && { kept: true as const }) }),
      ...(sign.slide && { slide: true as const }),
      ...(sign.remark !== undefined && { remark: sign.remark }),
    };
  }

  private addAll(problems: readonly Problem[], sign: BarSign): void {
    const span = this.spanOf(sign.offset, sign.text.length);
    for (const p of problems) {
      this.problems.push({ ...p, message: `${this.name}: ${p.message}`, span });
    }
  }

  private problem(code: string, message: string, cure: string, sign?: BarSign): void {
    const length = Math.max(1, (sign ?? this.typed).text.length);
    this.problems.push(this.named({ code, message, cure }, this.spanOf(sign?.offset ?? 0, length)));
  }

  private named(problem: Problem, span: TextSpan): Problem {
    return { ...problem, message: `${this.name} ${problem.message}`, span };
  }

  /** @param offset characters of the bar before it */
  private spanOf(offset: number, length: number): TextSpan {
    const { line, column } = this.typed;
    return { line, column: column + offset, length };
  }
}

const HOLD_AFTER = 'Write it after the chord or beat that is held, e.g. | G / / D fermata |.';

interface PlacedSign {
  readonly sign: BeatSign & { kind: 'chord' };
  readonly at: Rational;
}

/** The chords that a sign puts into its slot: none, one, or those of a split. */
function placeSign(sign: BeatSign, slot: Slot): readonly PlacedSign[] {
  if (sign.kind === 'beat') return [];
  if (sign.kind === 'chord') return [{ sign, at: slot.at }];
  const part = mul(slot.length, rational(1, sign.parts.length));
  return sign.parts.flatMap((inner, i) =>
    placeSign(inner, { at: add(slot.at, mul(part, rational(i))), length: part }),
  );
}

/** "3/8" is three slots of half a quarter note each. */
function slotsOfFraction(text: string): readonly Slot[] {
  const [n = 0, d = 0] = text.split('/').map((part) => Number.parseInt(part, 10));
  return [4, 8, 16].includes(d) && n <= 200 ? evenSlots(n, rational(4, d)) : [];
}

/** The last `count` beats of a bar, from their own start. */
function lastBeats(meter: Meter, count: number): readonly Slot[] {
  const beats = count > 0 ? beatsOf(meter).slice(-count) : [];
  return beats.map(({ at, length }) => ({ at: sub(at, beats[0]!.at), length }));
}
