// Which takes there are: every guitar in every room with the same players.
import type { Player } from '../ear-set/plan.ts';
import { GUITARS } from './guitars.ts';
import type { Part } from './model.ts';
import type { Cell } from './plan.ts';
import { type Room, ROOMS } from './rooms.ts';

/** Of each guitar in each room. */
const PLAYERS: Readonly<Record<Part, readonly Player[]>> = {
  'fresh-a': ['clean', 'uneven', 'spoilt', 'spoilt'],
  'fresh-b': ['clean', 'uneven', 'spoilt', 'clean', 'spoilt', 'clean', 'uneven', 'spoilt'],
};

/** One take in so many is heard by peers, too: by turns, so that each guitar and each room has its share. */
const BESIDE = 3;

export function cellsOf(part: Part): Cell[] {
  const places = Object.keys(GUITARS[part]).flatMap((timbre, guitar) =>
    (Object.keys(ROOMS) as Room[]).map((level, room) => ({ timbre, level, turn: guitar + room })),
  );
  return PLAYERS[part].flatMap((player, round) =>
    places.map(({ timbre, level, turn }, i) => ({
      ...{ part, timbre, level, player, index: round * places.length + i },
      beside: (turn + round) % BESIDE === 0,
    })),
  );
}
