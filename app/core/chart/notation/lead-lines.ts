// The lead lines of a typed section: where they are played, and their parts.
import type { Problem } from '../../base/result.ts';
import { parsePartText } from '../../lead/part-text.ts';
import type { Lead } from '../../model/lead.ts';
import { unnumbered } from '../form/bar-number.ts';
import type { BuiltBar } from './bar-build.ts';
import { readLeadStart, startsOf } from './lead-start.ts';
import { type LineBlock, replaceWith, spanOf } from './lines.ts';

const CURE =
  'Write e.g. “line: Hook, bar 3” or “line: Hook, bars 1 and 3”, and under it “part Guitar 1: | 8 3/7 p5 … |”.';

/** "Hook bar 3" lacks its comma, "Hook" its bar. */
function headMeant(text: string): string {
  const parted = text.replace(/\s*,?\s+(bars?\s+\d.*)$/iu, ', $1');
  return readLeadStart(parted) ? parted : `${text.replace(/,.*$/su, '')}, bar 1`;
}

export function readLeads(
  blocks: readonly LineBlock[],
  bars: readonly BuiltBar[],
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
      say({ code: 'line-head', message, cure: CURE, span, ...(!start && { remedy }) });
    }
    const read = parts.flatMap((part) => {
      const found = parsePartText(part.name.text, part.text.text);
      if (found.ok) return [found.value];
      for (const problem of found.problems) say({ ...problem, span: spanOf(part.text) });
      return [];
    });
    const [bar = 1 - skip, ...again] = startsOf(start, read);
    const more = again.map((number) => number + skip);
    return { name, bar: bar + skip, ...(more.length > 0 && { again: more }), parts: read };
  });
}
