// Reads the measures of one part into the bars of a sheet, with a warning for all that a chart cannot hold.
import { type Rational, add, compare, equals, toNumber, ZERO } from '../../../base/rational.ts';
import type { Problem } from '../../../base/result.ts';
import { STANDARD } from '../../../harmony/tunings.ts';
import { barLength, meterOf, printMeter } from '../../../rhythm/meter.ts';
import type { Feel, Meter, StrumPattern, Tempo, Tuning } from '../../../model/chart.ts';
import { printFeel } from '../../../chart/notation/fields.ts';
import { MAX_REMARK, MAX_REMARKS, MAX_REPEATS } from '../../../model/limits.ts';
import { slotsOf } from '../../../rhythm/slots.ts';
import { fermataOfWords, PACE_SOUND, paceOfWords } from '../pace-words.ts';
import { tuningOf } from '../head-read.ts';
import { fermataIn, joinedRemark, jumpsOf, type Measure, withSlides } from './measure.ts';
import { hasSign, signsOf } from './notes.ts';
import { feelOf, feelOfWords, tempoOf, withMeter } from './pace.ts';
import { HarmonyReader } from './harmony.ts';
import { type BarJumps, jumpsIn, withCodas } from '../jump-signs.ts';
import { bounded, meterOfLength, meterOfTime, quartersOf } from './quarters.ts';
import { type Sheet, type SheetBar, sameAsBefore } from '../sheet.ts';
import { fitChords } from './fit-chords.ts';
import { StrumReader, rhythmNote } from './strum.ts';
import type { PaperBar } from '../strum-paper.ts';
import { type XmlNode, childAt, childrenOf, numberAt, textAt } from '../xml-read.ts';

export interface ReadSheet {
  readonly sheet: Omit<Sheet, 'title'>;
  readonly warnings: readonly Problem[];
}

/** The part's measures in order. Nothing is refused here: what does not fit is left out and said. */
export function readMeasures(part: XmlNode): ReadSheet {
  const reader = new PartReader();
  childrenOf(part, 'measure').forEach((measure, i) => reader.readMeasure(measure, i));
  return reader.finish();
}

/** Words beside a sign are the sign's own. */
const SIGNS: readonly ((node: XmlNode) => boolean)[] = [
  (node) => Object.keys(jumpsIn(node, false)).length > 0,
  (node) => childrenOf(node, 'direction-type').some((type) => childAt(type, 'metronome')),
  (node) => childAt(node, 'sound', 'swing') !== undefined,
  (node) => childrenOf(node, 'direction-type').some((type) => childAt(type, 'other-direction')),
];

/** Used where a file says no tempo at all. */
const NO_TEMPO: Tempo = { bpm: 100, beat: 'quarter' };

class PartReader {
  private readonly warnings: Problem[] = [];
  private readonly bars: (Omit<SheetBar, 'tempo'> & { tempo?: Tempo })[] = [];
  private readonly harmonies = new HarmonyReader((...warning) => this.warn(...warning));
  private divisions = 1;
  private meter: Meter = meterOf(4, 4);
  private tempo?: Tempo;
  private feel: Feel = { kind: 'straight' };
  private readonly strums = new StrumReader();
  private slashes: 'none' | 'beats' | 'stems' = 'none';
  /** How many bars a sign repeats; 0 where none is in force. */
  private repeated = 0;
  /** Marks at the end of a measure, which belong to the next. */
  private marksAhead: BarJumps = {};
  private tuning: Tuning = STANDARD;

  readMeasure(node: XmlNode, index: number): void {
    const measure: Measure = {
      name: `bar ${index + 1}`,
      cursor: ZERO,
      end: ZERO,
      chords: [],
      rhythm: [],
      repeatStart: false,
      jumps: this.marksAhead,
      sectionRemarks: [],
      slidInto: [],
    };
    this.marksAhead = {};
    for (const child of node.children) this.readChild(child, measure);
    this.bars.push(this.barOf(measure, index === 0 || node.attributes.implicit === 'yes'));
  }

  finish(): ReadSheet {
    const first = this.bars.find((bar) => bar.tempo)?.tempo;
    if (!first)
      this.warn(
        'musicxml-tempo',
        'the file says no tempo',
        'Set one in the chart; ♩ = 100 stands there now.',
      );
    const bars = this.bars.map((bar, i): SheetBar => {
      const strum = bar.pickup ? this.strums.ofPickup(bar, this.bars[i + 1]?.strum) : bar.strum;
      return { ...bar, tempo: bar.tempo ?? first ?? NO_TEMPO, ...(strum && { strum }) };
    });
    const { key, capo, names } = this.harmonies;
    const shapes = [...this.harmonies.shapes].map(([symbol, frets]) => ({ symbol, frets }));
    const { tuning, warnings } = this;
    return {
      sheet: {
        ...(names && { names }),
        ...(key && { key }),
        capo,
        tuning,
        shapes,
        bars: withCodas(bars),
      },
      warnings,
    };
  }

  private readChild(node: XmlNode, measure: Measure): void {
    switch (node.name) {
      case 'attributes':
        return this.readAttributes(node, measure);
      case 'direction':
      case 'sound':
        this.readJumps(node, measure);
        return this.readDirection(node, measure);
      case 'harmony':
        return this.readHarmony(node, measure);
      case 'barline':
        return this.readBarline(node, measure);
      case 'note':
        return this.readNote(node, measure);
      case 'forward':
        return this.move(node, measure, 1);
      case 'backup':
        return this.move(node, measure, -1);
    }
  }

  private readNote(node: XmlNode, measure: Measure): void {
    if (childAt(node, 'chord') || childAt(node, 'grace')) return;
    if (hasSign(signsOf(node), 'fermata')) this.hold(measure, measure.cursor);
    if (hasSign(signsOf(node, 'articulations'), 'scoop')) measure.slidInto.push(measure.cursor);
    measure.rhythm.push(rhythmNote(node, measure.cursor, this.slashes === 'stems'));
    this.move(node, measure, 1);
  }

  private move(node: XmlNode, measure: Measure, direction: 1 | -1): void {
    const by = quartersOf(direction * (numberAt(node, 'duration') ?? 0), this.divisions);
    const to = bounded(add(measure.cursor, by));
    measure.cursor = compare(to, ZERO) < 0 ? ZERO : to;
    if (compare(measure.cursor, measure.end) > 0) measure.end = measure.cursor;
  }

  private readAttributes(node: XmlNode, measure: Measure): void {
    const divisions = numberAt(node, 'divisions');
    if (divisions !== undefined && divisions > 0) this.divisions = divisions;
    const time = childAt(node, 'time');
    if (time) this.readTime(time, measure);
    this.harmonies.readAttributes(node);
    for (const details of childrenOf(node, 'staff-details'))
      this.tuning = tuningOf(details) ?? this.tuning;
    for (const style of childrenOf(node, 'measure-style')) {
      const repeat = childAt(style, 'measure-repeat');
      if (repeat) this.repeated = repeat.attributes.type === 'start' ? Number(repeat.text) || 1 : 0;
      const slash = childAt(style, 'slash')?.attributes;
      if (slash?.type === 'stop') this.slashes = 'none';
      else if (slash) this.slashes = slash['use-stems'] === 'yes' ? 'stems' : 'beats';
    }
  }

  private readTime(time: XmlNode, measure: Measure): void {
    const meter = meterOfTime(time);
    if (meter) this.meter = meter;
    else {
      const message = `${measure.name}: its time signature is not one that charts have`;
      this.warn(
        'musicxml-meter',
        message,
        `Check the bars from there on; they are read in ${printMeter(this.meter)}.`,
      );
    }
  }

  private readDirection(node: XmlNode, measure: Measure): void {
    if (textAt(node, 'direction-type', 'other-direction') === PACE_SOUND) return;
    for (const type of childrenOf(node, 'direction-type')) {
      const heading = childAt(type, 'rehearsal')?.text;
      if (heading) {
        measure.heading = heading;
        this.strums.begin();
      }
      for (const name of ['words', 'other-direction'])
        for (const words of childrenOf(type, name)) this.readWords(words.text, node, measure);
    }
    const tempo = tempoOf(node, this.meter);
    if (typeof tempo === 'string') {
      const what = tempo === 'unfit' ? 'tempo is out of range' : 'tempo mark says no number';
      const cure = 'Set the tempo of the section yourself.';
      this.warn('musicxml-tempo-range', `${measure.name}: its ${what}`, cure);
    } else if (tempo) this.tempo = tempo;
    this.feel = feelOf(node) ?? this.feel;
  }

  /** Strum, feel and held beats in our own words, for programs that keep words and lose elements; then the trade's. */
  private readWords(words: string, node: XmlNode, measure: Measure): void {
    const feel = feelOfWords(words);
    this.feel = feel ?? this.feel;
    if (this.strums.readWords(words) || feel) return;
    const held = fermataOfWords(words);
    if (held) {
      measure.fermata = held;
      return;
    }
    const pace = paceOfWords(words);
    if (pace) measure.pace ??= pace;
    else if (!SIGNS.some((sign) => sign(node))) this.addRemark(words, node, measure);
  }

  /** A word to the player: about the section where it stands by the meter, about a chord where it stands below. */
  private addRemark(words: string, node: XmlNode, measure: Measure): void {
    const text = words
      .replace(/["“”\s]+/gu, ' ')
      .trim()
      .slice(0, MAX_REMARK)
      .trim();
    if (text === '') return;
    if (node.attributes.directive === 'yes') measure.sectionRemarks.push(text);
    else if (node.attributes.placement === 'below') measure.chordRemark = text;
    else measure.remark = joinedRemark(measure.remark, text);
  }

  /** The sign says neither how long nor which beat of a long note; words of ours do. */
  private hold(measure: Measure, at: Rational): void {
    const beat = slotsOf(this.meter).findLast((slot) => compare(slot.at, at) <= 0);
    measure.fermata ??= { at: beat?.at ?? ZERO, extra: 1 };
  }

  /** Jumps hold at the end of their measure; marks after its last beat are those of the next. */
  private readJumps(node: XmlNode, measure: Measure): void {
    const full = barLength(this.meter);
    const isEnd = compare(measure.cursor, full) >= 0 || node.attributes.location === 'right';
    const { segno, coda, ...jumps } = jumpsIn(node, measure.cursor.n > 0 && !isEnd);
    const marks = { ...(segno !== undefined && { segno }), ...(coda !== undefined && { coda }) };
    measure.jumps = { ...measure.jumps, ...jumps, ...(!isEnd && marks) };
    if (jumps.fine) measure.fineAt = measure.cursor;
    if (isEnd) this.marksAhead = { ...this.marksAhead, ...marks };
  }

  private readHarmony(node: XmlNode, measure: Measure): void {
    const chord = this.harmonies.read(node, measure.name);
    if (!chord) return;
    const offset = quartersOf(numberAt(node, 'offset') ?? 0, this.divisions);
    const { chordRemark: remark } = measure;
    delete measure.chordRemark;
    const at = bounded(add(measure.cursor, offset));
    measure.chords.push({ at, ...chord, ...(remark !== undefined && { remark }) });
  }

  private readBarline(node: XmlNode, measure: Measure): void {
    this.readJumps(node, measure);
    const ending = childAt(node, 'ending');
    if (ending?.attributes.type === 'start') measure.endings = this.readEnding(ending, measure);
    const repeat = childAt(node, 'repeat')?.attributes;
    if (repeat?.direction === 'forward') measure.repeatStart = true;
    if (repeat?.direction !== 'backward') return;
    const times = Number(repeat.times ?? 2);
    measure.repeatEnd = Number.isInteger(times) && times >= 2 && times <= MAX_REPEATS ? times : 2;
    if (repeat['after-jump'] === 'yes') measure.afterJump = true;
  }

  private readEnding(node: XmlNode, measure: Measure): readonly number[] | undefined {
    const times = (node.attributes.number ?? '').split(',').map((text) => Number(text.trim()));
    if (times.every((time) => Number.isInteger(time) && time >= 1 && time <= MAX_REPEATS))
      return times;
    this.warn(
      'musicxml-ending',
      `${measure.name} starts an ending without a number`,
      'Check the repeats there.',
    );
    return undefined;
  }

  private barOf(measure: Measure, mayBePickup: boolean): (typeof this.bars)[number] {
    const { meter, length, pickup } = this.lengthOf(measure, mayBePickup);
    const fitted = fitChords(withSlides(measure), meter, pickup ? length : undefined);
    if (fitted.changed) {
      const message = `${measure.name}: a chord does not stand on a part of a beat, and was moved to the nearest`;
      this.warn('musicxml-moment', message, 'Check the chords of that bar.');
    }
    const { heading, repeatStart, repeatEnd, endings, afterJump, sectionRemarks, pace } = measure;
    const remark = joinedRemark(measure.remark, measure.chordRemark);
    const fermata = fermataIn(measure, meter, pickup ? length : undefined);
    const jumps = jumpsOf(measure);
    const source = this.repeated > 0 ? this.bars.at(-this.repeated) : undefined;
    const written = { meter, length, pickup, chords: fitted.chords };
    const like = source && !source.pickup && equals(source.length, length) ? source : undefined;
    const repeats = like && (written.chords.length === 0 || sameAsBefore(written, like));
    const bar = repeats ? { ...written, chords: like.chords } : written;
    const strum = this.strumOf(bar, measure, repeats ? like.strum : undefined);
    return {
      ...(heading !== undefined && { heading }),
      ...(this.tempo && { tempo: this.tempo }),
      feel: this.feelIn(bar, measure),
      ...(strum && { strum }),
      ...(strum && this.strums.wholeFor(bar)),
      meter,
      length,
      pickup,
      chords: bar.chords,
      simile: repeats === true && this.repeated === 1,
      repeatStart,
      ...(repeatEnd !== undefined && { repeatEnd }),
      ...(endings && { endings }),
      ...(Object.keys(jumps).length > 0 && { jumps }),
      ...(afterJump && { afterJump }),
      ...(sectionRemarks.length > 0 && { sectionRemarks: sectionRemarks.slice(0, MAX_REMARKS) }),
      ...(remark !== undefined && { remark }),
      ...(pace && { pace }),
      ...(fermata && { fermata }),
    };
  }

  private feelIn({ meter }: PaperBar, { name }: Measure): Feel {
    const feel = withMeter(this.feel, meter);
    if (feel === this.feel) return feel;
    const message = `${name}: “${printFeel(this.feel)}” does not go with ${printMeter(meter)}, which is read as straight`;
    this.warn('musicxml-swing', message, 'Check the feel of the section.');
    return feel;
  }

  private strumOf(
    bar: PaperBar,
    { name, rhythm }: Measure,
    repeated: StrumPattern | undefined,
  ): StrumPattern | undefined {
    const read = this.strums.next(bar, { notes: rhythm, beatSlashes: this.slashes === 'beats' });
    if (read !== 'unfit') return rhythm.length === 0 ? (repeated ?? read) : read;
    const message = `${name}: its strokes fit neither eighths, triplets nor sixteenths, and are left out`;
    this.warn('musicxml-strum', message, 'Type the strum of that bar into the chart.');
    return undefined;
  }

  /** A measure without notes lasts a full bar; one of another length is a pickup or has a meter of its own. */
  private lengthOf(
    { end, name }: Measure,
    mayBePickup: boolean,
  ): { meter: Meter; length: Rational; pickup: boolean } {
    const full = barLength(this.meter);
    if (end.n === 0 || equals(end, full)) return { meter: this.meter, length: full, pickup: false };
    if (mayBePickup && compare(end, full) < 0 && 4 % end.d === 0) {
      return { meter: this.meter, length: end, pickup: true };
    }
    const own = meterOfLength(end);
    const lasts = `${name} lasts ${toNumber(end)} quarter notes in ${printMeter(this.meter)}`;
    const how = own ? `read as a bar of ${printMeter(own)}` : 'read as a full bar';
    this.warn('musicxml-length', `${lasts}: it is ${how}`, 'Check that bar.');
    return { meter: own ?? this.meter, length: own ? end : full, pickup: false };
  }

  private warn(code: string, message: string, cure: string): void {
    const last = this.warnings.at(-1);
    if (last?.code !== code || last.message !== message)
      this.warnings.push({ code, message, cure });
  }
}
