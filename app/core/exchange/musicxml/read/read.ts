// Opens a MusicXML score as a chart: chords, sections, repeats, tempo and meter, and tablature as lead lines.
import { type Problem, type Result, fail, ok } from '../../../base/result.ts';
import { checkChart } from '../../../chart/check.ts';
import { MAX_TITLE } from '../../../model/limits.ts';
import type { ChartBody } from '../../../model/chart.ts';
import { chartOfSheet } from './chart-of-sheet.ts';
import { isTablature, readLeads } from './leads.ts';
import { countLyrics, withLyrics } from './lyrics.ts';
import { readMeasures } from './measures.ts';
import { notesIn } from './notes.ts';
import { partwise, withSharedMarks } from './parts.ts';
import { type XmlNode, childAt, childrenOf, readXml, textAt } from '../xml-read.ts';

export interface OpenedScore {
  readonly chart: ChartBody;
  /** What the file has and a chart has not, bar by bar. */
  readonly warnings: readonly Problem[];
}

/** Far above any song, also with many parts; a file of a million bars stops here. */
const LIMITS = {
  characters: 20_000_000,
  nodes: 1_500_000,
  depth: 32,
  most: { part: 100, measure: 20_000, harmony: 50_000 },
};

/** How many warnings are worth reading at once. */
const MOST_WARNINGS = 30;

/** Never throws. Takes the part with the most chord symbols; refuses files without any. */
export function readMusicXml(text: string): Result<OpenedScore> {
  const xml = readXml(text, LIMITS);
  if (!xml.ok) return xml;
  const score = partwise(xml.value);
  const part = choosePart(score);
  if (!part.ok) return part;
  const { sheet, warnings } = readMeasures(
    withSharedMarks(part.value.node, childrenOf(score, 'part')),
  );
  const leads = readLeads(score, sheet.bars);
  const bars = withLyrics(leads.bars, childrenOf(score, 'part'));
  const by = writerOf(score);
  const found = chartOfSheet({ title: titleOf(score), ...(by && { by }), ...sheet, bars });
  const problems = checkChart(found.chart);
  if (problems.length > 0) return fail(...problems.map(({ place: _place, ...problem }) => problem));
  const all = [...part.value.warnings, ...warnings, ...leads.warnings, ...found.warnings];
  return ok({ chart: found.chart, warnings: all.slice(0, MOST_WARNINGS) });
}

function choosePart(root: XmlNode): Result<{ node: XmlNode; warnings: readonly Problem[] }> {
  if (root.name !== 'score-partwise') {
    const message = `the file is XML, but “${root.name.slice(0, 40)}” is not a MusicXML score`;
    return refuse(
      'musicxml-format',
      message,
      'Choose a .musicxml or .xml file that a notation program wrote.',
    );
  }
  const parts = childrenOf(root, 'part').map((node) => ({ node, chords: countChords(node) }));
  const best = parts.toSorted((a, b) => b.chords - a.chords)[0];
  if (!best || best.chords === 0) {
    const cure = 'Write the chords over the bars there, then export it again.';
    return refuse('musicxml-no-chords', 'the score has no chord symbols', cure);
  }
  const unread = parts.filter(
    (part) => part !== best && !isTablature(part.node) && !isOurWords(part.node),
  ).length;
  const warning: Problem = {
    code: 'musicxml-parts',
    message: `the score has ${parts.length} parts; chords are read from part ${parts.indexOf(best) + 1}, which has most of them`,
    cure: 'Export a single part to read another one.',
  };
  return ok({ node: best.node, warnings: unread > 0 ? [warning] : [] });
}

/** Slashes that carry words and nothing else: nothing of them is lost. */
const isOurWords = (part: XmlNode): boolean =>
  countLyrics(part) > 0 &&
  notesIn(part).every((note) => childAt(note, 'rest') ?? textAt(note, 'notehead') === 'slash');

/** The first of those who made it, words or music. */
function writerOf(root: XmlNode): string | undefined {
  const creators = childrenOf(childAt(root, 'identification') ?? root, 'creator');
  const name = creators.map(({ text }) => text.replace(/\s+/gu, ' ').trim()).find(Boolean);
  return name?.slice(0, MAX_TITLE).trim();
}

const refuse = (code: string, message: string, cure: string): Result<never> =>
  fail({ code, message, cure });

const countChords = (part: XmlNode): number =>
  childrenOf(part, 'measure').reduce(
    (sum, measure) => sum + childrenOf(measure, 'harmony').length,
    0,
  );

function titleOf(root: XmlNode): string {
  const typed = textAt(root, 'work', 'work-title') || textAt(root, 'movement-title') || 'Untitled';
  return typed.replace(/\s+/gu, ' ').trim().slice(0, MAX_TITLE).trim() || 'Untitled';
}
