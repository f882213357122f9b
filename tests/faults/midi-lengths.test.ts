// A MIDI file whose lengths were damaged is refused, and not read for ever.
import { expect, it } from 'vitest';
import { readSmf } from '../../app/core/exchange/midi/read.ts';

it('a length below zero ends the reading', () => {
  const hex =
    '4d546864000000060001000100604d54726b0000ffffffffd0d0d0d0d0d0d0d0d0d0d0d0d000903c5a60ffffffffffa5a5';
  expect(readSmf(Uint8Array.from(Buffer.from(hex, 'hex')))).toMatchObject({
    ok: false,
    problems: [{ code: 'midi-broken' }],
  });
});
