// A MIDI file whose lengths were damaged is refused, and not read for ever.
import { expect, it } from 'vitest';
import { unwrap } from '../../app/core/base/result.ts';
import type { OpenedScore } from '../../app/core/exchange/musicxml/read/read.ts';
import { readSmf } from '../../app/core/exchange/midi/read.ts';

it('a length below zero ends the reading', () => {
  const hex =
    '4d546864000000060001000100604d54726b0000ffffffffd0d0d0d0d0d0d0d0d0d0d0d0d000903c5a60ffffffffffa5a5';
  expect(readSmf(Uint8Array.from(Buffer.from(hex, 'hex')))).toMatchObject({
    ok: false,
    problems: [{ code: 'midi-broken' }],
  });
});

/** A format 0 file of one tempo and an end so many quarter notes later. */
function lasting(quarters: number): Uint8Array {
  const ticks = quarters * 96;
  const time = [21, 14, 7, 0].map((shift, i) => ((ticks >> shift) & 0x7f) | (i < 3 ? 0x80 : 0));
  const track = [0, 0xff, 0x51, 3, 7, 0xa1, 0x20, ...time, 0xff, 0x2f, 0];
  return new Uint8Array([
    ...[0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 0, 0, 1, 0, 96],
    ...[0x4d, 0x54, 0x72, 0x6b, 0, 0, 0, track.length, ...track],
  ]);
}

const cuts = ({ warnings }: OpenedScore): readonly string[] =>
  warnings.map(({ message }) => message).filter((message) => message.startsWith('only'));

it('opens as many bars as a section holds, and says where it stopped', () => {
  const opened = unwrap(readSmf(lasting(512 * 4)));
  expect(opened.chart.sections[0]!.bars).toHaveLength(512);
  expect(cuts(opened)).toEqual([]);
  for (const quarters of [513 * 4, 50_000]) {
    const cut = unwrap(readSmf(lasting(quarters)));
    expect(cut.chart.sections[0]!.bars).toHaveLength(512);
    expect(cuts(cut)).toEqual(['only its first 512 bars are read']);
  }
});

it('refuses a file that claims to last for hours', () => {
  expect(readSmf(lasting(50_001))).toMatchObject({
    ok: false,
    problems: [{ code: 'midi-long', message: expect.stringContaining('lasts for hours') }],
  });
});
