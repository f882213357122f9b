// Where what is set stands, and what the page before a lesson says: read as far back as matters, the same as from the whole log.
import { beforeAll, describe, expect, it } from 'vitest';
import { settlePasses } from '../../../../app/core/log/history.ts';
import type { LogEntry, PassRecord } from '../../../../app/core/model/pass.ts';
import { sayOnBars } from '../../../../app/core/progress/as-set.ts';
import { wordOn, wordsOn } from '../../../../app/core/log/teachers-word.ts';
import type { Assignment, Student } from '../../../../app/core/progress/assignment.ts';
import { lessonFactsOf } from '../../../../app/core/progress/lesson-facts.ts';
import { type DeskRow, rowOf } from '../../../../app/core/progress/placing.ts';
import { memoryLog } from '../../../../app/services/machine/log/memory-log.ts';
import { placesFrom } from '../../../../app/services/machine/log/from-passes.ts';
import { diary, ownDesk } from '../../../browser/record/diary.ts';

const TODAY = '2031-04-05';
const [first, second] = ownDesk('2031-05-01', '2031-02-15T10:00:00Z').assignments as [
  Assignment,
  Assignment,
];
const never: Assignment = { ...second, id: 'never', chart: { id: 'k-none', title: 'None' } };
const student = (assignments: readonly Assignment[]): Student => ({
  ...ownDesk('2031-05-01', '2031-02-15T10:00:00Z'),
  id: 'ada',
  assignments,
});

const log = memoryLog();
let passes: readonly PassRecord[] = [];
const written: LogEntry[] = [];
function write(entries: readonly LogEntry[]): void {
  log.write('ada', entries);
  written.push(...entries);
  passes = settlePasses(
    written.flatMap((entry) => (entry.kind === 'pass' ? [entry.pass] : [])),
    written.flatMap((entry) => (entry.kind === 'amendment' ? [entry.amendment] : [])),
  );
}

/** As it comes over a transport. */
function told(assignments: readonly Assignment[], asOf = TODAY): DeskRow {
  const answer = JSON.stringify(log.read.places({ desk: 'ada', asOf, assignments }));
  const places = new Map(JSON.parse(answer) as ReturnType<typeof log.read.places>);
  return rowOf(student(assignments), ({ id }) => places.get(id), asOf);
}
function workedOut(assignments: readonly Assignment[], asOf = TODAY, all = passes): DeskRow {
  const places = new Map(placesFrom(all, { desk: 'ada', asOf, assignments }));
  return rowOf(student(assignments), ({ id }) => places.get(id), asOf);
}

const asText = (value: unknown): unknown => JSON.parse(JSON.stringify(value));
const plain = ({ student: _, ...row }: DeskRow): unknown => asText(row);

describe('where what is set stands', () => {
  beforeAll(() => {
    write(diary({ until: TODAY, days: 25, passesPerDay: 8, units: 2, seed: 7, prefix: 'a-' }));
  });

  it.each([TODAY, '2031-03-25', '2031-04-20'])('is what the whole log says, on %s', (asOf) => {
    const all = [first, second, never];
    expect(plain(told(all, asOf))).toEqual(plain(workedOut(all, asOf)));
  });

  it('knows passes on other bars, and those that are accepted', () => {
    const other = { ...first, bars: { fingerprint: 'as-set', since: first.given } };
    const print = first.bars!.fingerprint;
    const accepted = sayOnBars({ ...other, id: 'accepted' }, print, true, first.given);
    const row = told([other, accepted]);
    expect(plain(row)).toEqual(plain(workedOut([other, accepted])));
    expect(row.placed[0]!.other).toEqual([{ fingerprint: print, passes: 200, last: TODAY }]);
    expect(row.placed[1]!.accepted).toHaveLength(1);
    expect(row.needs[0]!.reason).toEqual({ kind: 'other-bars', passes: 200 });
  });

  it('is told anew when something came, or a word was said', () => {
    const before = plain(told([first]));
    const more = diary({ until: TODAY, days: 1, passesPerDay: 6, units: 1, seed: 8, prefix: 'b-' });
    write(more);
    expect(plain(told([first]))).not.toEqual(before);
    expect(plain(told([first]))).toEqual(plain(workedOut([first])));
    const [pass] = passes.slice(-1);
    const at = `${TODAY}T20:00:00Z`;
    const verdict = pass!.verdict === 'clean' ? ('missed' as const) : ('clean' as const);
    const amendment = { amends: pass!.id, at, verdict, source: 'self' as const };
    write([{ kind: 'amendment', amendment }]);
    expect(plain(told([first]))).toEqual(plain(workedOut([first])));
  });

  it('reads the last weeks of a long log, and names the same tempo and need', () => {
    const long = memoryLog();
    const entries = diary({ until: TODAY, days: 90, passesPerDay: 4, units: 1, seed: 9 });
    long.write('ben', entries);
    const [[, place]] = long.read.places({ desk: 'ben', asOf: TODAY, assignments: [first] }) as [
      readonly [string, DeskRow['placed'][number]],
    ];
    const all = settlePasses(
      entries.flatMap((entry) => (entry.kind === 'pass' ? [entry.pass] : [])),
      [],
    );
    const { standing } = workedOut([first], TODAY, all).placed[0]!;
    expect(asText(place.standing)).toEqual(asText(standing));
  });
});

describe('what the page before a lesson says', () => {
  const accepted = sayOnBars(
    { ...first, id: 'accepted', bars: { fingerprint: 'as-set', since: first.given } },
    first.bars!.fingerprint,
    true,
    first.given,
  );
  const all = [first, second, accepted, never];

  it.each(['2031-03-29', '2031-02-01', '2031-04-20'])(
    'since %s is what the whole log says',
    (since) => {
      const told = log.read.lesson({ desk: 'ada', since, assignments: all });
      expect(asText(told)).toEqual(asText(lessonFactsOf(passes, all, since)));
    },
  );

  it('tells the changes that broke, and the tempo before', () => {
    const { lines, places } = log.read.lesson({
      desk: 'ada',
      since: '2031-03-29',
      assignments: all,
    });
    expect(lines.map(([id]) => id)).toEqual(all.map(({ id }) => id));
    expect(places.length).toBeGreaterThan(0);
    expect(lines[0]![1].then.evidence.passes).toBeGreaterThan(20);
  });
});

describe('the teacher’s words', () => {
  it('are told of the passes that have one, those taken back included', () => {
    const [one, other] = passes.slice(0, 2) as [PassRecord, PassRecord];
    const by = { by: 'Ms Tern', now: `${TODAY}T21:00:00Z` };
    const words = [
      wordOn(one, { verdict: 'missed', remark: 'Thumb.', ...by }),
      wordOn(other, { verdict: 'as-before', remark: '', ...by }),
    ];
    write(words.map((amendment) => ({ kind: 'amendment', amendment })));
    expect(log.read.words('ada')).toEqual(words);
    expect(log.read.words('ada')).toEqual(wordsOn(passes));
    expect(log.read.words('ben')).toEqual([]);
  });
});
