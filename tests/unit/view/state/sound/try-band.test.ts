// Trying a level of the band: that member is heard alone, without a click.
import { expect, it, vi } from 'vitest';
import type { LapSound, Player } from '../../../../../renderer/audio/player.ts';
import { tryBand } from '../../../../../renderer/state/sound/voices.ts';

function heardOf(member: 'drums' | 'bass') {
  const schedule = vi.fn<Player['schedule']>();
  const player: Partial<Player> = {
    stop: vi.fn(),
    prepareBand: vi.fn(() => Promise.resolve()),
    earliest: () => 0,
    schedule,
  };
  const sound = { open: () => Promise.resolve(player) };
  return tryBand(sound as unknown as Parameters<typeof tryBand>[0], member).then(() => {
    expect(player.prepareBand).toHaveBeenCalled();
    return schedule.mock.calls[0]![2] as LapSound;
  });
}

it('plays the drums alone', async () => {
  const { click, band } = await heardOf('drums');
  expect(click).toBe('none');
  expect(band!.drums.length).toBeGreaterThan(0);
  expect(band!.bass).toEqual([]);
});

it('plays the bass alone', async () => {
  const { band } = await heardOf('bass');
  expect(band!.bass.length).toBeGreaterThan(0);
  expect(band!.drums).toEqual([]);
});
