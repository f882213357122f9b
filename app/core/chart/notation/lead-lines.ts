// The lead lines of a typed section: where they are played, and their parts.
import type { Problem } from '../../base/result.ts';
import { parsePartText } from '../../lead/part-text.ts';
import { leadNeck } from '../../lead/realise.ts';
import type { LeadProblem } from '../../lead/notation.ts';
import type { ChartBody } from '../../model/chart.ts';
import type { Lead } from '../../model/lead.ts';
import { unnumbered } from '../form/bar-number.ts';
import type { ChartPlace } from '../rules/place.ts';
import type { BuiltBar } from './bar-build.ts';
import { readLeadStart, startsOf } from './lead-start.ts';
import { namesIn } from './cures/lead-names.ts';
import { movedFrets } from './cures/lead-text.ts';
import { withLeadCure } from './cures/leads.ts';
import { type LeadBlock, replaceWith, spanOf } from './lines.ts';

const CURE =
  'Write e.g. “line: Hook, bar 3” or “line: Hook, bars 1 and 3”, and under it “part Guitar 1: | 8 3/7 p5 … |”.';

/** "Hook bar 3" lacks its comma, "Hook" its bar. */
function headMeant(text: string): string {
  const parted = text.replace(/\s*,?\s+(bars?\s+\d.*)$/iu, ', $1');
  return readLeadStart(parted) ? parted : `${text.replace(/,.*$/su, '')}, bar 1`;
}

/** The leads of a section, in the order typed. What cannot be read is told to `say`, with where it stands. */
export function readLeads(
  blocks: readonly LeadBlock[],
  bars: readonly BuiltBar[],
  setting: Pick<ChartBody, 'tuning' | 'capo'>,
  say: (problem: Problem) => void,
): Lead[] {
  const skip = unnumbered(bars.map(({ bar }) => bar));
  return blocks.map(({ head, parts }) => {
    const start = readLeadStart(head.text);
    const name = start?.name ?? head.text;
    if (!start || parts.length === 0) {
      const message = `the lead line ‘${name}’ lacks its first bar or its parts`;
      const span = spanOf(head);
      const remedy = replaceWith(head, headMeant(head.text));
      say({ code: 'lead-head', message, cure: CURE, span, ...(!start && { remedy }) });
    }
    const read = parts.flatMap((part) => {
      const found = parsePartText(part.name.text, part.text.text);
      if (found.ok) return [found.value];
      for (const problem of found.problems) say(partProblem(problem, part, parts, setting));
      return [];
    });
    const [bar = 1 - skip, ...again] = startsOf(start, read);
    const more = again.map((number) => number + skip);
    return { name, bar: bar + skip, ...(more.length > 0 && { again: more }), parts: read };
  });
}

/** What is wrong with a part that could be read, at its sign; undefined for what is no part's own. */
export function withPartCure(
  problem: Problem,
  { parts }: LeadBlock,
  { part, where }: Pick<ChartPlace, 'part' | 'where'>,
  setting: Pick<ChartBody, 'tuning' | 'capo'>,
): Problem | undefined {
  const typed = parts[part ?? -1]?.text;
  if (!typed) return undefined;
  const told = withLeadCure(problem, typed, where, setting);
  const source = parts[0]!.name.text;
  if (told.code !== 'lead-source' || !part) return told;
  return { ...told, remedy: replaceWith(typed, typed.text.replace(/^.*(?=,)/su, source)) };
}

type TypedPart = LeadBlock['parts'][number];

/** A part that cannot be read: at its sign, or as a whole with the way it was most likely meant. */
function partProblem(
  problem: LeadProblem,
  part: TypedPart,
  parts: readonly TypedPart[],
  setting: Pick<ChartBody, 'tuning' | 'capo'>,
): Problem {
  const { where, ...told } = problem;
  if (told.code !== 'part-text') return withLeadCure(told, part.text, where, setting);
  const meant = partMeant(part.text.text, parts.slice(0, parts.indexOf(part)), setting);
  const remedy = meant === undefined ? undefined : replaceWith(part.text, meant);
  return { ...told, span: spanOf(part.text), ...(remedy && { remedy }) };
}

/** "A, lower third" moves a part by an interval that there is; "3/5 3/7" and "E G A" lack their bar lines, "e|--5-7--" is tab. */
function partMeant(
  text: string,
  above: readonly TypedPart[],
  setting: Pick<ChartBody, 'tuning' | 'capo'>,
): string | undefined {
  const source = above.find(({ name }) => text.toLowerCase().includes(name.text.toLowerCase()));
  if (source && !/\d\/\d/u.test(text)) return movedPart(source, text, setting);
  if (/\d\/(?:\d|x)/u.test(text) || namesIn(text).length > 1)
    return `| ${text.replace(/\|\s*$/u, '').trim()} |`;
  const frets = text.match(/\d{1,2}/gu) ?? [];
  const string = TAB_STRINGS.indexOf(/^\s*([EADGBe])\s*\|/u.exec(text)?.[1] ?? '') + 1;
  return frets.length === 0 || string === 0
    ? undefined
    : `| 8 ${frets.map((fret) => `${string}/${fret}`).join(' ')} |`;
}

/** Names of strings as tab is written. */
const TAB_STRINGS = ['e', 'B', 'G', 'D', 'A', 'E'];

/** Intervals that no part is derived by, in semitones: such a part is written out on the same strings. */
const WRITTEN_OUT: readonly (readonly [RegExp, number])[] = [
  [/unison|same|copy/iu, 0],
  [/4th|fourth/iu, 5],
  [/5th|fifth/iu, 7],
];

function movedPart(
  source: TypedPart,
  text: string,
  setting: Pick<ChartBody, 'tuning' | 'capo'>,
): string | undefined {
  const down = /down|below|under|lower/iu.test(text);
  const { text: name } = source.name;
  if (/3rd|third/iu.test(text)) return `${name}, third ${down ? 'below' : 'above'}`;
  if (/6th|sixth/iu.test(text)) return `${name}, sixth ${down ? 'below' : 'above'}`;
  if (/oct|8va|8ve|12/iu.test(text)) return `${name}, octave ${down ? 'down' : 'up'}`;
  const [, by] = WRITTEN_OUT.find(([word]) => word.test(text)) ?? [];
  return by === undefined
    ? undefined
    : movedFrets(source.text.text, down ? -by : by, leadNeck(setting).frets);
}
