// What happens around a climb while it is on: frames, trouble of the sound, a sleeping machine, a hidden window.
import type { PlayerTrouble } from '../../audio/player.ts';
import type { Surroundings } from './surroundings.ts';

interface Follower {
  readonly frame: () => void;
  readonly trouble: (trouble: PlayerTrouble) => void;
  /** Nobody can play now. */
  readonly away: (reason: 'sleep' | 'hidden') => void;
}

/** Returns the function that ends it. */
export function followWorld(
  { everyFrame, player, services, onHidden }: Surroundings,
  { frame, trouble, away }: Follower,
): () => void {
  const ends = [
    everyFrame(frame),
    player.onTrouble(trouble),
    services.on('power', ({ state }) => {
      if (state === 'suspend') away('sleep');
      else if (state === 'hidden') away('hidden');
    }),
    onHidden(() => away('hidden')),
  ];
  return () => {
    for (const end of ends) end();
  };
}
