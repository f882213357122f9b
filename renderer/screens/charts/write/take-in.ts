// What somebody pastes into a chart: our notation, MusicXML, or a sheet of chords; it comes as sections to add.
import { type Result, fail, ok } from '../../../../app/core/base/result.ts';
import type { TypedParts } from '../../../../app/core/chart/notation/add-sections.ts';
import { partsOfChart } from '../../../../app/core/chart/notation/add-sections.ts';
import { printChart } from '../../../../app/core/chart/notation/print.ts';
import type { OpenedScore } from '../../../../app/core/exchange/musicxml/read/read.ts';
import type { ChartBody } from '../../../../app/core/model/chart.ts';
import type { NoteNames } from '../../../../app/core/model/chord.ts';
import { draftOf } from '../../../../app/core/sheets/draft.ts';
import type { Sheet } from '../../../../app/core/sheets/model.ts';
import { readSheet } from '../../../../app/core/sheets/read.ts';
import { hasChords, leftOutOf } from '../../../state/files/sheet-words.ts';

export interface Taken extends TypedParts {
  /** All of it as a chart of its own. */
  readonly text: string;
  /** What was guessed or left out. */
  readonly notes: readonly string[];
}

export interface TakeInAround {
  /** Reads MusicXML beside the page. */
  readonly readScore: (bytes: Uint8Array, name: string) => Promise<Result<OpenedScore> | undefined>;
  /** Names of the sections that are there already. */
  readonly taken: readonly string[];
  /** For a sheet that does not say them. */
  readonly usual: Pick<Sheet, 'title' | 'meter' | 'tempo'>;
  /** How the chart that takes it in names notes; without one, what is pasted names them. */
  readonly names?: NoteNames | undefined;
}

/** It can read what other programs wrote, so it is larger than all else here: it comes when something is pasted. */
const reader = () => import('../../../../app/core/chart/notation/any-chart.ts');

const SCORE = /^\uFEFF?\s*<(?:\?xml|!DOCTYPE|score-)/u;

/** Fails where nothing in the text is a chord. */
export async function takeIn(text: string, around: TakeInAround): Promise<Result<Taken>> {
  if (SCORE.test(text)) return takeScore(text, around);
  const { readAnyChart } = await reader();
  const chart = readAnyChart(text, 'new');
  if (chart.ok) return ok({ ...partsOf(chart.value, around, []), text });
  if (isTypedAsOurs(text)) return ok(asTyped(text, chart.problems.length));
  const sheet = readSheet(text);
  if (!hasChords(sheet)) {
    const cure = 'Paste words with chords above them or in [brackets], or bars such as | C | G |.';
    return fail({ code: 'sheet-empty', message: 'no chords were found in this text', cure });
  }
  const { title, meter, tempo } = around.usual;
  const known: Sheet = {
    ...sheet,
    ...(title && { title }),
    ...(!sheet.meter && meter && { meter }),
    ...(!sheet.tempo && tempo && { tempo }),
  };
  const { guesses, ...draft } = draftOf(known, around.taken, around.names);
  return ok({ ...draft, notes: [...guesses, ...leftOutOf(sheet)] });
}

function partsOf(
  chart: ChartBody,
  { taken, names }: TakeInAround,
  notes: readonly string[],
): Taken {
  const { names: own, ...plain } = chart;
  const german = (names ?? own) === 'german';
  return {
    ...partsOfChart(german ? { ...plain, names: 'german' } : plain, taken),
    text: printChart(chart),
    notes,
  };
}

async function takeScore(text: string, around: TakeInAround): Promise<Result<Taken>> {
  // A text that was copied is no longer in the encoding it names.
  const bytes = new TextEncoder().encode(text.replace(/^[^<]*<\?xml[^>]*\?>/u, ''));
  const read = await around.readScore(bytes, 'the score');
  if (!read) return fail({ code: 'score-left', message: 'the score was not opened', cure: '' });
  if (!read.ok) return read;
  const { chart, warnings } = read.value;
  const notes = warnings.map(({ message, cure }) => `${message}. ${cure}`);
  return ok(partsOf(chart, around, notes));
}

/** A chord line of a sheet, as no line of ours looks. */
const OURS = /^\s*(?:\||:?\[[^\]]*\]\s*$|#|$|[\p{L}][\p{L}\d ]*:)/u;

/** How many lines in ten may look otherwise in a chart of ours with mistakes. */
const MOST_OTHER = 0.3;

/** Title, tempo and bars as we type them, and hardly a line that looks otherwise. */
function isTypedAsOurs(text: string): boolean {
  const lines = text.split(/\r\n|\n|\r/u).filter((line) => line.trim() !== '');
  const form = lines.findIndex((line) => FORM.test(line));
  const above = form < 0 ? lines : lines.slice(0, form);
  const has = (line: RegExp): boolean => above.some((one) => line.test(one));
  const other = above.filter((line) => !OURS.test(line)).length;
  return (
    has(/^\s*title\s*:/u) &&
    has(/^\s*tempo\s*:/u) &&
    has(/^\s*:?\|/u) &&
    other <= above.length * MOST_OTHER
  );
}

const FORM = /^\s*form\s*:/iu;
const HEADING = /^(?=\s*\[[^\]\n]*\]?[ \t]*$)/mu;

/** It stays to the letter: the editor names the mistakes, each with its cure. */
function asTyped(text: string, mistakes: number): Taken {
  const lines = text.split(/\r\n|\n|\r/u);
  const at = lines.findIndex((line) => FORM.test(line));
  const above = at < 0 ? lines : lines.slice(0, at);
  const form = at < 0 ? [] : [lines[at]!.replace(FORM, ''), ...lines.slice(at + 1)];
  const many = mistakes === 1 ? 'one mistake stands' : `${mistakes} mistakes stand`;
  return {
    text,
    sections: above
      .join('\n')
      .split(HEADING)
      .map((block) => block.trim())
      .filter((block) => block.startsWith('[')),
    form: form.map((line) => line.trim()).filter((line) => line !== ''),
    notes: [`It is taken as it is typed; ${many} under the text, each with a cure to press.`],
  };
}

/**
 * What a text pasted straight into the editor becomes: bars with their words where it is a sheet, undefined
 * where it is typed as charts are. `before` is the text above the cursor.
 */
export function pastedSheet(pasted: string, before: string): string | undefined {
  const lines = pasted.split(/\r\n|\n|\r/u);
  if (lines.length < 2 || SCORE.test(pasted) || lines.every((line) => OURS.test(line))) {
    return undefined;
  }
  const sheet = readSheet(pasted);
  const bars = sheet.sections.flatMap((section) => section.lines.flatMap((line) => line.bars));
  if (!hasChords(sheet) || !bars.some(({ guessed }) => guessed)) return undefined;
  if (before.trim() === '') return draftOf(sheet).text;
  const taken = [...before.matchAll(/^\s*\[([^\]]*)\]/gmu)].map(([, name]) => name!.trim());
  const german = /^\s*names\s*:\s*(?:german|deutsch)/imu.test(before);
  const names = german ? 'german' : 'international';
  const [first = '', ...rest] = draftOf(sheet, taken, names).sections;
  // Lines without a heading belong to the section they are pasted into.
  const headless = sheet.sections[0]?.named === false && taken.length > 0;
  const top = headless ? first.slice(first.indexOf('\n') + 1) : first;
  return `${[top, ...rest].join('\n\n')}\n`;
}
