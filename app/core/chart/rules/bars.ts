// Rules for bars: meters, pickups, similes, repeats, and chords that must stand inside their bar.
import { compare, equals, toNumber } from '../../base/rational.ts';
import { MAX_BAR_CHORDS, MAX_REPEATS, MAX_SPLIT } from '../../model/limits.ts';
import { barLength, checkMeter, printMeter } from '../../rhythm/meter.ts';
import { inNames } from '../../harmony/note-names.ts';
import type { Bar, ChartBody, ChordAt, Feel, Meter } from '../../model/chart.ts';
import { barName } from '../form/bar-number.ts';
import { playOrder } from '../form/repeats.ts';
import { chordsInSlot, slotsOf, splitOf } from '../../rhythm/slots.ts';
import { checkStrum } from '../../rhythm/strum.ts';
import { type BarAt, checkMarks } from './marks.ts';
import { checkFrets, checkSymbol, problemsOf } from './head.ts';
import { type ChartPlace, type ChartProblem, placed, problemAt } from './place.ts';

/** What is known before the first of some bars. */
export interface BarsContext {
  readonly place: ChartPlace;
  readonly section: string;
  /** Place of the first bar in its section, from 1; further on for an altered ending. */
  readonly firstNumber: number;
  /** Does the section start with a pickup, which has no number? */
  readonly skip: 0 | 1;
  readonly meter: Meter;
  readonly feel: Feel;
  readonly names: ChartBody['names'];
  /** The bar before the first one, which a simile there would repeat. */
  readonly before?: Pick<Bar, 'pickup'>;
}

/** Problems of bars one by one. */
export function checkBars(bars: readonly Bar[], context: BarsContext): ChartProblem[] {
  let meter = context.meter;
  return bars.flatMap((bar, index) => {
    const previousMeter = meter;
    meter = bar.meter ?? meter;
    const name = barName(context.firstNumber + index - context.skip, context.section);
    const at = { bar, meter, name, place: { ...context.place, bar: index } };
    const one = new BarRules(at, context.names);
    return [
      ...one.own(),
      ...one.pickup(index === 0 && context.firstNumber === 1),
      ...one.simile(index === 0 ? context.before : bars[index - 1], previousMeter),
      ...one.swing(context.feel),
      ...checkMarks(at),
    ];
  });
}

/** Repeats and endings, which only make sense over the whole section. */
export function checkRepeats(bars: readonly Bar[], context: BarsContext): ChartProblem[] {
  return playOrder(bars).faults.map(({ bar, code, what, cure }) =>
    problemAt(
      { ...context.place, bar },
      code,
      `${barName(bar + 1 - context.skip, context.section)} ${what}`,
      cure,
    ),
  );
}

class BarRules {
  private readonly bar: Bar;
  private readonly meter: Meter;
  private readonly name: string;
  private readonly place: ChartPlace;
  private readonly names: ChartBody['names'];

  constructor({ bar, meter, name, place }: BarAt, names: ChartBody['names']) {
    this.bar = bar;
    this.meter = meter;
    this.name = name;
    this.place = place;
    this.names = names;
  }

  own(): ChartProblem[] {
    const { meter, strum, repeatEnd, endings, content } = this.bar;
    if (meter && !checkMeter(meter).ok)
      return placed(problemsOf(checkMeter(meter)), this.place, this.name);
    return [
      ...(strum ? placed(problemsOf(checkStrum(strum)), this.place, this.name) : []),
      ...(repeatEnd !== undefined ? this.times([repeatEnd], 2, 'repeats') : []),
      ...(endings ? this.times(endings, 1, 'names the endings') : []),
      ...(content.kind === 'chords' ? this.chords(content.chords) : []),
    ];
  }

  private times(times: readonly number[], least: number, verb: string): ChartProblem[] {
    const fits = (n: number): boolean => Number.isInteger(n) && n >= least && n <= MAX_REPEATS;
    const rising = times.every((n, i) => i === 0 || n > times[i - 1]!);
    if (times.length > 0 && times.every(fits) && rising) return [];
    const cure = `Use whole numbers from ${least} to ${MAX_REPEATS}, rising.`;
    return [this.problem('repeat-times', `${verb} ${times.join(', ') || 'of no time'}`, cure)];
  }

  private chords(chords: readonly ChordAt[]): ChartProblem[] {
    if (chords.length > MAX_BAR_CHORDS) {
      return [
        this.problem('bar-crowded', `has ${chords.length} chords`, `Keep ${MAX_BAR_CHORDS}.`),
      ];
    }
    const each = chords.flatMap(({ symbol, shape }, chord) => {
      const place = { ...this.place, chord };
      return [
        ...placed(problemsOf(checkSymbol(symbol, this.names)), place, this.name),
        ...(shape ? placed(problemsOf(checkFrets(shape, symbol)), place, this.name) : []),
      ];
    });
    return [...each, ...this.moments(chords)];
  }

  private moments(chords: readonly ChordAt[]): ChartProblem[] {
    const length = this.bar.pickup ?? barLength(this.meter);
    const outside = chords.find(({ at }) => at.n < 0 || compare(at, length) >= 0);
    if (outside) {
      const what = `has ${inNames(outside.symbol, this.names)} after ${toNumber(outside.at)} quarter notes, but lasts ${toNumber(length)}; the meter is ${printMeter(this.meter)}`;
      return [this.problem('bar-length', what, 'Move the chord into the bar.')];
    }
    if (chords.some(({ at }, i) => i > 0 && compare(at, chords[i - 1]!.at) <= 0)) {
      return [
        this.problem('chord-order', 'has chords out of order', 'Let each start after the last.'),
      ];
    }
    const slots = slotsOf(this.meter, this.bar.pickup);
    const between = chords.filter(({ at }) => !slots.some((slot) => equals(slot.at, at)));
    if (between.length === 0) return [];
    if (slots.every((slot) => splitOf(chordsInSlot(between, slot), slot) !== undefined)) return [];
    const cure = `Put chords on a beat or on an equal part of it, ${MAX_SPLIT} parts at most.`;
    return [this.problem('chord-moment', 'has a chord on no part of a beat', cure)];
  }

  pickup(allowed: boolean): ChartProblem[] {
    const { pickup } = this.bar;
    if (!pickup) return [];
    if (!allowed) {
      const cure = 'Move it to the start of a section, or change the meter there.';
      return [this.problem('pickup-place', 'is a pickup inside its section', cure)];
    }
    const inside = pickup.n > 0 && compare(pickup, barLength(this.meter)) < 0;
    if (inside && 4 % pickup.d === 0) return [];
    const cure = 'Let it last whole sixteenths and less than a bar, e.g. pickup 3/8.';
    const what = `is a pickup of ${toNumber(pickup)} quarter notes in ${printMeter(this.meter)}`;
    return [this.problem('pickup-length', what, cure)];
  }

  simile(before: Pick<Bar, 'pickup'> | undefined, meterBefore: Meter): ChartProblem[] {
    if (this.bar.content.kind !== 'simile') return [];
    const cure = 'Write its chords out.';
    if (!before)
      return [this.problem('simile-first', 'repeats a bar, but none is before it', cure)];
    if (this.bar.endings && !this.bar.endings.includes(1)) {
      return [this.problem('simile-ending', 'repeats a bar at the start of an ending', cure)];
    }
    const lasts = compare(barLength(meterBefore), barLength(this.meter)) === 0;
    if (lasts && !before.pickup) return [];
    return [this.problem('simile-length', 'repeats a bar of another length', cure)];
  }

  /** Swing pairs must not cross beats: eighths pair within a quarter, sixteenths within an eighth. */
  swing(feel: Feel): ChartProblem[] {
    if (feel.kind === 'straight' || this.meter.unit * 2 <= feel.value) return [];
    const notes = feel.value === 8 ? 'eighths' : 'sixteenths';
    const cure = 'Put these bars into a section of their own with “feel: straight”.';
    return [
      this.problem(
        'swing-meter',
        `is in ${printMeter(this.meter)}, which cannot swing ${notes}`,
        cure,
      ),
    ];
  }

  private problem(code: string, what: string, cure: string): ChartProblem {
    return problemAt(this.place, code, `${this.name} ${what}`, cure);
  }
}
