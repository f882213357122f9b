// Settling the log: each pass once, in time order, with the latest word on it.
import { describe, expect, it } from 'vitest';
import { settle } from '../../support/settle.ts';
import type { Amendment, LogEntry, PassRecord } from '../../../app/core/model/pass.ts';
import { pass } from './passes.ts';

const logged = (record: PassRecord): LogEntry => ({
  kind: 'pass',
  pass: record,
  unit: { fingerprint: record.unit.fingerprint, bars: [] },
});
const amending = (amendment: Amendment): LogEntry => ({ kind: 'amendment', amendment });

describe('settle', () => {
  it('orders passes by the moment, not by the text of their time', () => {
    const late = pass('2031-04-05T09:00:00+02:00'); // 07:00 UTC
    const early = pass('2031-04-05T06:30:00+00:00');
    expect(settle([logged(late), logged(early)])).toEqual([early, late]);
  });

  it('takes a pass once however often a report brings it', () => {
    const once = pass('2031-04-05T09:00:00Z');
    expect(settle([logged(once), logged(once)])).toEqual([once]);
  });

  it('lets the latest amendment win, in whatever order they were written', () => {
    const played = pass('2031-04-05T09:00:00Z', { id: 'a', verdict: 'clean' });
    const word = (at: string, verdict: 'clean' | 'missed'): LogEntry =>
      amending({ amends: 'a', at, verdict, source: 'teacher' });
    const entries = [
      word('2031-04-05T10:00:00Z', 'missed'),
      logged(played),
      word('2031-04-05T09:30:00Z', 'clean'),
    ];
    expect(settle(entries)[0]).toMatchObject({ verdict: 'missed', source: 'teacher' });
  });

  it('keeps what the ear had said when someone overrules it', () => {
    const heard = pass('2031-04-05T09:00:00Z', { id: 'a', verdict: 'missed', source: 'ear' });
    const word: Amendment = {
      amends: 'a',
      at: '2031-04-05T09:01:00Z',
      verdict: 'clean',
      source: 'self',
    };
    expect(settle([logged(heard), amending(word)])[0]).toMatchObject({
      verdict: 'clean',
      source: 'self',
      earVerdict: 'missed',
    });
  });

  it('keeps the player’s word on single changes beside what the ear heard of them', () => {
    const heard = pass('2031-04-05T09:00:00Z', { id: 'a', verdict: 'missed', source: 'ear' });
    const word = (second: number, played?: number[]): LogEntry =>
      amending({
        ...{ amends: 'a', at: `2031-04-05T09:00:0${second}Z` },
        ...{ verdict: 'missed', source: 'ear', ...(played && { played }) },
      });
    expect(settle([logged(heard), word(1, [2])])[0]).toMatchObject({ played: [2] });
    expect(settle([logged(heard), word(1, [2]), word(2)])[0]).not.toHaveProperty('played');
    const teacher: LogEntry = amending({
      ...{ amends: 'a', at: '2031-04-05T10:00:00Z', verdict: 'clean', source: 'teacher' },
    });
    expect(settle([logged(heard), word(1, [2]), teacher])[0]).toMatchObject({
      ...{ verdict: 'clean', played: [2] },
    });
  });

  it('ignores an amendment of a pass it does not hold', () => {
    const word: Amendment = {
      amends: 'gone',
      at: '2031-04-05T09:01:00Z',
      verdict: 'clean',
      source: 'self',
    };
    expect(settle([amending(word)])).toEqual([]);
  });
});
