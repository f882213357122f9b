// A teacher's word on a pass: it stands above the student's side, is taken back whole, and hides nothing.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { settle } from '../../support/settle.ts';
import type { Amendment, LogEntry, PassRecord } from '../../../app/core/model/pass.ts';
import { amendmentSchema } from '../../../app/core/log/schema.ts';
import {
  entriesOf,
  isNewer,
  isOverruled,
  judgedBefore,
  wordOn,
  type WordGiven,
  wordsOn,
} from '../../../app/core/log/teachers-word.ts';
import { sayJudges, sayVerdict } from '../../../app/core/progress/words.ts';
import { tally } from '../../../app/core/log/tally.ts';
import { pass } from './passes.ts';

const unit = (record: PassRecord) => ({ fingerprint: record.unit.fingerprint, bars: [] });
const logged = (record: PassRecord): LogEntry => ({
  kind: 'pass',
  pass: record,
  unit: unit(record),
});
const amending = (amendment: Amendment): LogEntry => ({ kind: 'amendment', amendment });
const settled = (record: PassRecord, ...amendments: Amendment[]): PassRecord =>
  settle([logged(record), ...amendments.map(amending)])[0]!;

const played = pass('2031-04-05T09:00:00Z', { id: 'a', verdict: 'clean', source: 'self' });
const given: WordGiven = {
  verdict: 'missed',
  remark: 'Late thumb.',
  by: 'Ms Tern',
  now: '2031-04-06T10:00:00Z',
};
const word = wordOn(played, given);
const overruled = settled(played, word);
const undone = wordOn(overruled, { ...given, verdict: 'as-before', remark: '' });

describe('a teacher’s word', () => {
  it('decides the verdict and names the judge, with what was judged before beside it', () => {
    expect(overruled).toMatchObject({ verdict: 'missed', source: 'teacher' });
    expect(judgedBefore(overruled)).toEqual({ verdict: 'clean', source: 'self' });
    expect(sayVerdict(overruled)).toBe(
      'missed by the teacher (Ms Tern); before: clean by yourself',
    );
    expect(sayJudges(tally([overruled, played]).judgedBy)).toBe(
      '1 judged by yourself, 1 by the teacher',
    );
  });

  it('stands beside what the ear said and the student upheld against it', () => {
    const change = {
      from: 'Bm',
      to: 'F#',
      bar: 2,
      change: 3,
      timing: 'on-time',
      confidence: 1,
    } as const;
    const heard = pass('2031-04-05T09:00:00Z', {
      ...{ id: 'a', verdict: 'missed', source: 'ear', played: [3] },
      changes: [{ ...change, chord: 'other' }],
    });
    const upheld = { ...heard, verdict: 'clean', source: 'self', earVerdict: 'missed' } as const;
    const against = 'the ear said missed, upheld against it: Bm → F♯ in bar 3';
    expect(sayVerdict(upheld, 'by the student')).toBe(`clean by the student; ${against}`);
    expect(sayVerdict(settled(upheld, word))).toBe(
      `missed by the teacher (Ms Tern); before: clean by yourself; ${against}`,
    );
    expect(sayVerdict(heard)).toBe('missed by ear; upheld against it: Bm → F♯ in bar 3');
  });

  it('stands whatever the student’s side says later', () => {
    const later = '2031-04-09T10:00:00Z';
    const student = { amends: 'a', at: later, verdict: 'unjudged', source: 'pedal' } as const;
    const both = settled(played, word, student);
    expect(both).toMatchObject({ verdict: 'missed', source: 'teacher' });
    expect(judgedBefore(both)).toEqual({ verdict: 'unjudged', source: 'pedal' });
  });

  it('is taken back by a further word, and then nothing shows but who judged before', () => {
    const back = settled(played, word, undone);
    expect(back).toMatchObject({ verdict: 'clean', source: 'self' });
    expect([isOverruled(back), sayVerdict(back)]).toEqual([false, 'clean by yourself']);
    expect(wordsOn([back])).toEqual([undone]);
  });

  it('keeps what the ear said', () => {
    const heard = settled({ ...played, source: 'ear' }, word);
    expect(heard).toMatchObject({ verdict: 'missed', source: 'teacher', earVerdict: 'clean' });
  });

  it('is never older than the word it follows, though the clock was put back', () => {
    const again = wordOn(overruled, { ...given, verdict: 'clean', now: '2031-04-01T10:00:00Z' });
    expect(isNewer(overruled, again)).toBe(true);
    expect(settled(played, word, again).verdict).toBe('clean');
  });

  it('leaves an empty remark and name out', () => {
    expect(wordOn(played, { ...given, remark: '', by: '' })).toEqual({
      amends: 'a',
      at: given.now,
      verdict: 'missed',
      source: 'teacher',
    });
  });

  it('comes to the same pass out of its own entries (law: settle ∘ entriesOf = identity)', () => {
    const judged = fc.record({
      verdict: fc.constantFrom('clean', 'missed', 'unjudged'),
      source: fc.constantFrom('self', 'ear', 'pedal'),
    });
    const words = fc.array(fc.constantFrom('clean', 'missed', 'as-before'), { maxLength: 3 });
    fc.assert(
      fc.property(judged, fc.option(judged), words, (first, later, verdicts) => {
        const change = later && { amends: 'a', at: '2031-04-05T09:01:00Z', ...later };
        let now = settled({ ...played, ...first }, ...(change ? [change] : []));
        for (const verdict of verdicts) {
          const entries = [
            ...entriesOf(now, unit(now)),
            amending(wordOn(now, { ...given, verdict })),
          ];
          now = settle(entries)[0]!;
        }
        expect(settle(entriesOf(now, unit(now)))).toEqual([now]);
      }),
    );
  });
});

describe('an amendment from outside', () => {
  it.each([
    ['a word with a remark', word, true],
    ['a word taken back', undone, true],
    ['a player who takes back', { ...undone, source: 'self' }, false],
    ['a player with a remark', { ...word, source: 'self' }, false],
    ['a teacher who judges nothing', { ...word, verdict: 'unjudged' }, false],
    ['a remark beyond a few words', { ...word, remark: 'x'.repeat(401) }, false],
  ])('%s', (_, amendment, good) => {
    expect(amendmentSchema.safeParse(amendment).success).toBe(good);
  });
});
