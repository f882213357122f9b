// Moments as text, whatever a clock shows.
import { describe, expect, it } from 'vitest';
import { isoTime } from '../../../app/core/base/fields.ts';
import { isoTimeOf } from '../../../app/core/base/iso-time.ts';

describe('a moment as text', () => {
  it.each([
    ['in our time', '2031-04-05T18:20:00.000Z', '2031-04-05T18:20:00.000Z'],
    ['before zones were agreed', '1850-06-01T12:00:00.000Z', '1850-06-01T12:00:00.000Z'],
    // ECMA-262 writes years of more than four digits with a sign, which RFC 3339 and our files do not know.
    ['after year 9999', '+012026-01-01T00:00:00.000Z', '9999-12-30T23:59:59.999Z'],
    ['before year 0', '-000044-03-15T12:00:00.000Z', '0000-01-02T00:00:00.000Z'],
    ['as late as a clock can be', '+275760-09-13T00:00:00.000Z', '9999-12-30T23:59:59.999Z'],
  ])('%s can be read again', (_, clock, read) => {
    const text = isoTimeOf(new Date(clock));
    expect(isoTime.safeParse(text).success).toBe(true);
    expect(new Date(text).toISOString()).toBe(read);
  });
});
