// A teacher's word on a pass: saying it, taking it back, and telling it apart from what was judged before.
import type { IsoTime } from '../base/units.ts';
import { instantOf } from './history.ts';
import type {
  Judgement,
  LogEntry,
  PassRecord,
  PlayedUnit,
  TeachersWord,
  Verdict,
  WordOnPass,
} from '../model/pass.ts';

/** Characters of a remark: a few words, to be read beside a verdict. */
export const MAX_REMARK = 400;

export interface WordGiven {
  /** 'as-before' takes the word back. */
  readonly verdict: Verdict | 'as-before';
  /** May be empty, as may the name. */
  readonly remark: string;
  readonly by: string;
  readonly now: IsoTime;
}

/** The word as it goes into the log. It is never older than the one it follows, whatever the clock says. */
export function wordOn(pass: PassRecord, { verdict, remark, by, now }: WordGiven): WordOnPass {
  const late = pass.word && instantOf(pass.word.at) >= instantOf(now);
  return {
    amends: pass.id,
    at: late ? new Date(instantOf(pass.word!.at) + 1).toISOString() : now,
    verdict,
    source: 'teacher',
    ...(by === '' ? {} : { by }),
    ...(remark === '' ? {} : { remark }),
  };
}

/** What was judged on the student's side, whatever a teacher says to it. */
export const judgedBefore = ({ word, verdict, source }: PassRecord): Judgement =>
  word?.before ?? { verdict, source };

/** Does a teacher's word stand on the pass now? */
export const isOverruled = ({ word }: PassRecord): boolean =>
  word !== undefined && word.verdict !== 'as-before';

/** The words on these passes, those taken back included: what another log needs to follow this one. */
export const wordsOn = (passes: readonly PassRecord[]): WordOnPass[] =>
  passes.flatMap(({ id, word }) => (word ? [onPass(id, word)] : []));

/** Is this word news for the pass? */
export const isNewer = ({ word }: PassRecord, { at }: TeachersWord): boolean =>
  word === undefined || instantOf(at) > instantOf(word.at);

/** The log entries that settle into this pass again. */
export function entriesOf(pass: PassRecord, unit: PlayedUnit): LogEntry[] {
  const { word, ...record } = pass;
  if (!word) return [{ kind: 'pass', pass, unit }];
  const { earVerdict, ...played } = { ...record, ...word.before };
  const byEar = word.before.source === 'ear' || earVerdict === undefined;
  return [
    { kind: 'pass', pass: byEar ? played : { ...played, earVerdict }, unit },
    { kind: 'amendment', amendment: onPass(pass.id, word) },
  ];
}

const onPass = (amends: string, { at, verdict, source, by, remark }: TeachersWord): WordOnPass => ({
  amends,
  at,
  verdict,
  source,
  ...(by === undefined ? {} : { by }),
  ...(remark === undefined ? {} : { remark }),
});
