// Opens a Standard MIDI File as an empty chart: its tempo, meters and markers (SMF 1.0); its notes stay behind.
import { type MidiData, type MidiEvent, parseMidi } from 'midi-file';
import { asciiText } from '../../base/ascii.ts';
import { toNumber } from '../../base/rational.ts';
import { type Problem, type Result, fail, ok } from '../../base/result.ts';
import { withinTempos } from '../../base/units.ts';
import { checkChart } from '../../chart/check.ts';
import { isName } from '../../chart/rules/names.ts';
import { STANDARD } from '../../harmony/tunings.ts';
import { MAX_SECTION_BARS, MAX_SECTIONS, MAX_TITLE } from '../../model/limits.ts';
import type { Bar, ChartBody, Meter, PaceMark, Section, Tempo } from '../../model/chart.ts';
import {
  barLength,
  beatUnitLength,
  defaultGrouping,
  meterOf,
  usualBeatUnit,
} from '../../rhythm/meter.ts';
import type { OpenedScore } from '../musicxml/read/read.ts';
import { type BarTempos, TempoReader } from './tempo-changes.ts';

/** The first four bytes of every Standard MIDI File. */
export const looksLikeMidi = (bytes: Uint8Array): boolean =>
  asciiText(bytes.subarray(0, 4)) === 'MThd';

/** Quarter notes that are opened: some hours of music. A few damaged bytes may claim a hundred million. */
const MOST_QUARTERS = 50_000;

/** Never throws. */
export function readSmf(bytes: Uint8Array): Result<OpenedScore> {
  const data = parse(bytes);
  if (!data) {
    const cure = 'Export it again as a Standard MIDI File.';
    return fail({ code: 'midi-broken', message: 'the MIDI file is damaged or breaks off', cure });
  }
  const quarter = data.header.ticksPerBeat;
  if (!quarter) {
    const message = 'the MIDI file counts seconds, not beats, so it has no bars';
    return fail({ code: 'midi-timecode', message, cure: 'Export it with beats (PPQ).' });
  }
  const marks = marksOf(data, quarter);
  if (!(marks.end <= MOST_QUARTERS)) {
    const message =
      'the MIDI file says that it lasts for hours; its times are damaged, or it is no song';
    return fail({ code: 'midi-long', message, cure: 'Export one song alone again.' });
  }
  const read = chartOf(marks);
  const problems = checkChart(read.chart);
  return problems.length > 0 ? fail(...problems.map(({ place: _, ...p }) => p)) : ok(read);
}

/** A damaged length can be negative, and midi-file would then read the same bytes again for ever. */
class Forward extends Uint8Array {
  override slice(from = 0, to = this.length): Uint8Array<ArrayBuffer> {
    if (to < from) throw new RangeError('a length below zero');
    return super.slice(from, to);
  }
}

function parse(bytes: Uint8Array): MidiData | undefined {
  try {
    const data = parseMidi(new Forward(bytes));
    const broken = data.tracks.length < data.header.numTracks || data.tracks.flat().length === 0;
    return broken ? undefined : data;
  } catch {
    return undefined;
  }
}

interface Timed<T> {
  /** Quarter notes from the start of the file. */
  readonly at: number;
  readonly value: T;
}

interface Marks {
  readonly title: string;
  /** Beats per minute of the quarter note. */
  readonly tempos: readonly Timed<number>[];
  readonly meters: readonly Timed<{ readonly numerator: number; readonly unit: number }>[];
  readonly markers: readonly Timed<string>[];
  /** Where the last event stands. */
  readonly end: number;
}

type Marked = MidiEvent & { readonly at: number };

function marksOf(data: MidiData, quarter: number): Marks {
  const tracks = data.tracks.map((track) => {
    let tick = 0;
    return track.map((event): Marked => ({ ...event, at: (tick += event.deltaTime) / quarter }));
  });
  const all = tracks.flat().toSorted((a, b) => a.at - b.at);
  const title = tracks[0]?.find((event) => event.type === 'trackName');
  return {
    title: title ? utf8(title.text) : '',
    tempos: all.flatMap((e) =>
      e.type === 'setTempo' ? [{ at: e.at, value: 60e6 / e.microsecondsPerBeat }] : [],
    ),
    meters: all.flatMap((e) =>
      e.type === 'timeSignature'
        ? [{ at: e.at, value: { numerator: e.numerator, unit: e.denominator } }]
        : [],
    ),
    markers: all.flatMap((e) =>
      e.type === 'marker' && e.text.trim() !== '' ? [{ at: e.at, value: utf8(e.text).trim() }] : [],
    ),
    end: all.at(-1)?.at ?? 0,
  };
}

/** midi-file gives one letter a byte; most programs write UTF-8. */
function utf8(text: string): string {
  try {
    return decodeURIComponent(
      [...text].map((c) => `%${c.charCodeAt(0).toString(16).padStart(2, '0')}`).join(''),
    );
  } catch {
    return text;
  }
}

const COMMON: Meter = meterOf(4, 4);
/** Moments of a file lie on ticks: this is far less than one (1/960 of a quarter). */
const NEAR = 1e-4;

const lastAt = <T>(marks: readonly Timed<T>[], at: number): T | undefined =>
  marks.findLast((mark) => mark.at <= at + NEAR)?.value;

interface Begun {
  readonly name: string;
  readonly tempo: number;
  readonly meter: Meter;
  readonly bars: Bar[];
}

/** A bar by the meter that holds at its start; a marker begins a section with the next bar line. */
function chartOf(marks: Marks): OpenedScore {
  const notes = warn('its notes are left out', 'Write the chords into the bars.');
  const whole = sectionsOf(marks, [notes]);
  if (whole.byTempo <= Math.max(MOST_BY_TEMPO, whole.bars * SHARE_BY_TEMPO)) return whole.score;
  const played = warn(
    'its tempo moves all the time and is left out within sections',
    'Write rit. or accel. into the bars where it matters.',
  );
  return sectionsOf({ ...marks, tempos: steady(marks) }, [notes, played]).score;
}

/** Sections that begin by their tempo alone; more say that the file follows a player (ours, no source). */
const MOST_BY_TEMPO = 8;
const SHARE_BY_TEMPO = 0.1;

/** Tempos that stand at the start or where a marker does. */
const steady = ({ tempos, markers }: Marks): Marks['tempos'] =>
  tempos.filter(({ at }, i) => i === 0 || markers.some((m) => Math.abs(m.at - at) <= NEAR));

function sectionsOf(
  marks: Marks,
  warnings: Problem[],
): { readonly score: OpenedScore; readonly bars: number; readonly byTempo: number } {
  let byTempo = 0;
  const sections: Begun[] = [];
  const tempos = new TempoReader();
  let meter = COMMON;
  let bars = 0;
  for (let at = 0; at < marks.end - NEAR || bars === 0; bars++) {
    const now = meterAt(marks, at, warnings) ?? meter;
    const length = toNumber(barLength(now));
    const marker = marks.markers.find((m) => m.at > at - length / 2 && m.at <= at + length / 2);
    const open = sections.at(-1);
    const marked = !open || (marker !== undefined && marker.value !== open.name);
    const held = temposIn(marks, at, at + length);
    const steps = marked ? tempos.open(held) : tempos.next(held);
    const opens = marked || steps.some(({ kind }) => kind === 'section');
    if (opens && !marked) byTempo++;
    if (opens) {
      const tempo = lastAt(marks.tempos, at) ?? 120;
      const name = marker?.value ?? open?.name ?? 'Part 1';
      sections.push({ name, tempo, meter: now, bars: [] });
    }
    const section = sections.at(-1)!;
    section.bars.push(emptyBar(!opens && !same(now, meter) ? now : undefined));
    for (const step of steps) {
      if (step.kind !== 'mark') continue;
      const pace = markIn(step.mark, section.meter);
      section.bars[step.bar] = { ...section.bars[step.bar]!, pace };
    }
    meter = now;
    at += length;
    const full = sections.length > MAX_SECTIONS || section.bars.length >= MAX_SECTION_BARS;
    if (full && at < marks.end - NEAR) {
      const read = sections.slice(0, MAX_SECTIONS).reduce((sum, one) => sum + one.bars.length, 0);
      warnings.push(warn(`only its first ${read} bars are read`, 'Cut the file into songs.'));
      break;
    }
  }
  const score = { chart: bodyOf(marks, sections.slice(0, MAX_SECTIONS)), warnings };
  return { score, bars, byTempo };
}

const temposIn = ({ tempos }: Marks, from: number, to: number): BarTempos => [
  lastAt(tempos, from) ?? 120,
  ...tempos.filter(({ at }) => at > from + NEAR && at < to - NEAR).map(({ value }) => value),
];

/** Where a change leads to, in the note that the section counts. */
const markIn = (mark: PaceMark, meter: Meter): PaceMark =>
  mark.kind === 'a-tempo' || mark.to === undefined
    ? mark
    : { kind: mark.kind, to: tempoOf(mark.to, meter).bpm };

const emptyBar = (meter: Meter | undefined): Bar => ({
  content: { kind: 'chords', chords: [] },
  ...(meter && { meter }),
});

const same = (a: Meter, b: Meter): boolean => a.numerator === b.numerator && a.unit === b.unit;

function meterAt({ meters }: Marks, at: number, warnings: Problem[]): Meter | undefined {
  const found = lastAt(meters, at);
  if (!found) return undefined;
  const { numerator, unit } = found;
  const known = ([2, 4, 8, 16] as const).find((u) => u === unit);
  if (known && numerator >= 1 && numerator <= 32)
    return { numerator, unit: known, grouping: defaultGrouping(numerator, known) };
  const code = 'midi-meter';
  if (!warnings.some((w) => w.code === code && w.message.includes(`${numerator}/${unit}`)))
    warnings.push({
      code,
      message: `the meter ${numerator}/${unit} cannot be written`,
      cure: 'The one before it goes on.',
    });
  return undefined;
}

function bodyOf(marks: Marks, begun: readonly Begun[]): ChartBody {
  const first = begun[0]!;
  const tempo = tempoOf(first.tempo, first.meter);
  const names = new Map<string, number>();
  const sections = begun.map(({ name, tempo: own, meter, bars }, i): Section => {
    const section = tempoOf(own, meter);
    return {
      name: freeName(name, i, names),
      ...(i > 0 &&
        (section.bpm !== tempo.bpm || section.beat !== tempo.beat) && { tempo: section }),
      ...(!same(meter, first.meter) && { meter }),
      bars,
    };
  });
  return {
    title: marks.title.trim().slice(0, MAX_TITLE) || 'MIDI file',
    tempo,
    meter: first.meter,
    feel: { kind: 'straight' },
    capo: 0,
    tuning: STANDARD,
    shapes: [],
    sections,
    form: sections.map(({ name }) => ({ section: name, times: 1 })),
  };
}

/** In the meter's usual note, to a tenth of a beat. */
function tempoOf(quarters: number, meter: Meter): Tempo {
  const beat = usualBeatUnit(meter);
  const bpm = quarters / toNumber(beatUnitLength(beat));
  return { bpm: withinTempos(Math.round(bpm * 10) / 10), beat };
}

function freeName(text: string, index: number, names: Map<string, number>): string {
  const plain = text
    .replace(/[[\]|,:=]/gu, ' ')
    .replace(/\s+/gu, ' ')
    .trim()
    .slice(0, 60);
  const base = isName(plain) ? plain : `Part ${index + 1}`;
  const count = (names.get(base) ?? 0) + 1;
  names.set(base, count);
  return count === 1 ? base : `${base} ${count}`;
}

const warn = (message: string, cure: string): Problem => ({ code: 'midi-left-out', message, cure });
