// Reads the typed sections of a chart: their heads, bars (own or borrowed), words and lead lines.
import { MAX_SECTIONS } from '../../model/limits.ts';
import type { Meter, Section } from '../../model/chart.ts';
import { parseStrum } from '../../rhythm/strum.ts';
import { borrowedHead } from '../form/borrowed.ts';
import { readBand } from './band.ts';
import type { BuiltBar } from './bar-build.ts';
import { startsWithPickup } from './bar-lines.ts';
import { readBars } from './bars.ts';
import { type Borrowing, borrowedAsBuilt, readLike } from './borrowing.ts';
import { parseFeel, parseMeter, parseTempo } from './fields.ts';
import type { Findings } from './findings.ts';
import { withComments, withEndingTimes } from './finish-bars.ts';
import type { ChartHead } from './head.ts';
import { layWords, rowsOf } from './lay-words.ts';
import { readLeads } from './lead-lines.ts';
import type { ChartLines, SectionLines } from './lines.ts';
import { strumProblem } from './strum-fit.ts';

export interface BuiltSection {
  readonly section: Section;
  readonly bars: readonly BuiltBar[];
}

/** One section more than a chart may have is read, so that its rules can say so. */
export function readSections(
  lines: ChartLines,
  head: ChartHead,
  found: Findings,
): readonly BuiltSection[] {
  const sections: BuiltSection[] = [];
  for (const section of lines.sections.slice(0, MAX_SECTIONS + 1)) {
    sections.push(readSection(section, head, sections, found));
  }
  return sections;
}

function readSection(
  lines: SectionLines,
  chart: ChartHead,
  above: readonly BuiltSection[],
  found: Findings,
): BuiltSection {
  const borrowing = readLike(
    lines,
    above.map((one) => one.section),
    found.say,
  );
  const head = readSectionHead(lines, chart, borrowing, found);
  const meter = head.meter ?? chart.meter;
  const bars = readSectionBars(lines, borrowing, { chart: chart.meter, section: meter }, found);
  const remarks = lines.remarks.map(({ text }) => text).filter((text) => text !== '');
  const section: Section = {
    name: lines.name.text,
    ...head,
    ...(borrowing && { like: borrowing.like }),
    bars: withComments(withEndingTimes(bars), bars, lines.barComments),
    ...(remarks.length > 0 && { remarks }),
    ...(lines.comments.length > 0 && { comments: lines.comments }),
    ...(lines.leads.length > 0 && { leads: readLeads(lines.leads, bars, chart, found.say) }),
  };
  return { section, bars };
}

/** What is typed under its name, else what it takes over with the bars it borrows. */
function readSectionHead(
  { values }: SectionLines,
  chart: ChartHead,
  borrowing: Borrowing | undefined,
  found: Findings,
): Pick<Section, 'tempo' | 'meter' | 'feel' | 'strum' | 'band'> {
  const borrowed = borrowing ? borrowedHead(borrowing.source) : {};
  const { read } = found;
  const meter = read(values.meter, parseMeter) ?? borrowed.meter;
  const inMeter = meter ?? chart.meter;
  const tempo = read(values.tempo, (text) => parseTempo(text, inMeter)) ?? borrowed.tempo;
  const feel = read(values.feel, parseFeel) ?? borrowed.feel;
  const strum = read(values.strum, parseStrum) ?? borrowed.strum;
  const said = readBand(values, read).band;
  const band = (said ?? borrowed.band) && { ...borrowed.band, ...said };
  if (values.strum && strum) found.advise(strumProblem(values.strum, strum, inMeter));
  return {
    ...(tempo && { tempo }),
    ...(meter && { meter }),
    ...(feel && { feel }),
    ...(strum && { strum }),
    ...(band && { band }),
  };
}

interface Meters {
  readonly chart: Meter;
  readonly section: Meter;
}

/** Borrowed bars first, then those that are typed, with the words under both. */
function readSectionBars(
  lines: SectionLines,
  borrowing: Borrowing | undefined,
  meters: Meters,
  found: Findings,
): BuiltBar[] {
  const taken = borrowing ? takeBars(lines, borrowing, meters, found) : [];
  const written = readBars(
    lines.bars,
    {
      section: lines.name.text,
      meter: taken.at(-1)?.meter ?? meters.section,
      from: taken.length + 1,
      skip: hasPickup(taken, lines) ? 1 : 0,
    },
    found,
  );
  const bars = [...taken, ...written];
  if (lines.words.length === 0) return bars;
  return layWords(bars, lines.words, rowsOf(lines, bars, taken.length), found.say);
}

/** The bars that are borrowed, with those that are typed in the place of some of them. */
function takeBars(
  { name, changes }: SectionLines,
  borrowing: Borrowing,
  meters: Meters,
  found: Findings,
): BuiltBar[] {
  const taken = borrowedAsBuilt(borrowing, meters.chart, meters.section);
  const skip = taken[0]?.bar.pickup ? 1 : 0;
  for (const { number, bars } of changes) {
    const at = number + skip - 1;
    const meter = taken[at - 1]?.meter ?? meters.section;
    const own = readBars([bars], { section: name.text, meter, from: number + skip, skip }, found);
    if (at >= 0 && at + own.length <= taken.length && own.length > 0) {
      taken.splice(at, own.length, ...own);
    } else {
      const message = `‘${name.text}’ borrows ${taken.length - skip} bars; bar ${number} is not among them`;
      found.sayAt(bars, 'change-bars', message, 'Count again, or write further bars below.');
    }
  }
  return taken;
}

/** Does the section start with a pickup, borrowed or typed? */
const hasPickup = ([first]: readonly BuiltBar[], { bars }: SectionLines): boolean =>
  first ? first.bar.pickup !== undefined : startsWithPickup(bars[0]?.text ?? '');
