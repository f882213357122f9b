// Moments in the order in which they were asked for, whatever the clock does.
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { byMoment } from '../../../../app/core/log/history.ts';
import { isoNow, today } from '../../../../renderer/page/clock.ts';

beforeEach(() => vi.useFakeTimers());
afterEach(() => vi.useRealTimers());

it('parts what is done while the clock stands still, so that no id decides', () => {
  vi.setSystemTime('2031-04-05T10:00:00.000Z');
  // The later one has the lesser id.
  const done = ['c', 'b', 'a'].map((id) => ({ id, at: isoNow() }));
  expect(done.toSorted(byMoment)).toEqual(done);
  expect(done.map(({ at }) => Date.parse(at) - Date.parse(done[0]!.at))).toEqual([0, 1, 2]);
});

it('goes with the clock again as soon as that goes on, and follows it back', () => {
  vi.setSystemTime('2031-04-05T10:00:00.000Z');
  isoNow();
  isoNow();
  vi.setSystemTime('2031-04-05T10:00:00.500Z');
  expect(Date.parse(isoNow())).toBe(Date.parse('2031-04-05T10:00:00.500Z'));
  vi.setSystemTime('2031-04-04T10:00:00.000Z');
  expect(Date.parse(isoNow())).toBe(Date.parse('2031-04-04T10:00:00.000Z'));
  expect(today()).toBe(isoNow().slice(0, 10));
});
