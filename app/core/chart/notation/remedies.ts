// Cures that can be carried out, for mistakes that are known by their code and by what is typed there.
import type { Problem, Remedy, TextSpan } from '../../base/result.ts';
import { BAR_CURES } from './cures/bars.ts';
import { type Replacement, type Mend, lineEnd } from './cures/cure.ts';
import { FORM_CURES } from './cures/form.ts';
import { HEAD_CURES } from './cures/head.ts';
import { SECTION_CURES } from './cures/sections.ts';
import { STRUM_CURES } from './cures/strums.ts';

const MENDS: ReadonlyMap<string, Mend> = new Map(
  [HEAD_CURES, SECTION_CURES, BAR_CURES, STRUM_CURES, FORM_CURES].flat(),
);

/** The problems with their cures, where one is known and none is there yet. */
export function withRemedies(text: string, problems: readonly Problem[]): readonly Problem[] {
  if (problems.length === 0) return problems;
  const lines = text.split(/\r\n|\n|\r/);
  return problems.map((problem) => {
    const { code, span, cure, remedy } = problem;
    const mend = span && !remedy ? MENDS.get(code) : undefined;
    if (!span || !mend) return problem;
    const line = lines[span.line - 1] ?? '';
    const typed = line.slice(span.column - 1, span.column - 1 + span.length);
    const change = mend({ typed, span, cure, line, lines });
    // A cure that changes nothing is none.
    return change === undefined || change === typed
      ? problem
      : { ...problem, remedy: remedyOf(change, span, line) };
  });
}

function remedyOf(
  change: string | Replacement | readonly Replacement[],
  span: TextSpan,
  line: string,
): Remedy {
  if (typeof change === 'string') return remedyOf(asValue(change, span, line), span, line);
  const all = 'text' in change ? [change] : change;
  const edits = all.map(({ text, span: own = span }) => ({ ...own, text }));
  const said = all.flatMap(({ text }) => shownOf(text) ?? []);
  const label =
    all[0]?.label ??
    (said.length === 0 ? 'Take it out' : `Write “${[...new Set(said)].join('” and “')}”`);
  return { label, edits };
}

/** A field without its value gets it behind the colon. */
function asValue(text: string, span: TextSpan, line: string): Replacement {
  if (!/^\s*[\p{L} ]+:\s*$/u.test(line)) return { text };
  return { text: ` ${text}`, span: { ...lineEnd(span, line.trimEnd()), length: 0 } };
}

/** What of a new text stands on a button: its first line that says something. */
const shownOf = (text: string): string | undefined =>
  text
    .split('\n')
    .map((line) => line.trim())
    .find((line) => /[\p{L}\d%/):"}]/u.test(line));
