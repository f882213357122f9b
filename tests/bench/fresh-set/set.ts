// Which takes there are: every guitar in every room with the same players.
import type { Player } from '../ear-set/plan.ts';
import { ROOMS_AT_HOME } from './fresh-d/rooms.ts';
import { GUITARS } from './guitars.ts';
import type { Lean, Part } from './model.ts';
import type { Cell } from './plan.ts';
import { type Room, ROOMS, ROOMS_TO_CHOOSE } from './rooms.ts';

interface Round {
  readonly player: Player;
  readonly lean: Lean;
}
const usual = (players: readonly Player[]): Round[] =>
  players.map((player) => ({ player, lean: 'usual' }));

const everyday = (players: readonly Player[]): Round[] =>
  players.map((player) => ({ player, lean: 'everyday' }));

/** Of each guitar in each room. */
const ROUNDS: Readonly<Record<Part, readonly Round[]>> = {
  'fresh-a': usual(['clean', 'uneven', 'spoilt', 'spoilt']),
  choose: [
    { player: 'uneven', lean: 'quiet' },
    { player: 'spoilt', lean: 'lone' },
    { player: 'spoilt', lean: 'quiet' },
    { player: 'spoilt', lean: 'extra' },
    { player: 'spoilt', lean: 'fast' },
  ],
  'fresh-b': usual(['clean', 'uneven', 'spoilt', 'clean', 'spoilt', 'clean', 'uneven', 'spoilt']),
  'fresh-c': usual(['spoilt', 'clean', 'spoilt', 'uneven']),
  'fresh-d': everyday(['clean', 'spoilt', 'uneven', 'spoilt']),
};

/** One take in so many of a reported part is heard by peers, too: by turns, so that each guitar and room has its share. */
const BESIDE = 3;

export function cellsOf(part: Part): Cell[] {
  const places = Object.keys(GUITARS[part]).flatMap((timbre, guitar) =>
    roomsOf(part).map((level, room) => ({ timbre, level, turn: guitar + room })),
  );
  return ROUNDS[part].flatMap((of, round) =>
    places.map(({ timbre, level, turn }, i) => ({
      ...{ part, timbre, level, ...of, index: round * places.length + i },
      beside: hasPeers(part) && (turn + round) % BESIDE === 0,
    })),
  );
}

/** Of each round every guitar once, in a room that moves on by one with guitar and round: for who takes long to hear. */
export function fewOf(part: Part): Cell[] {
  const rooms = roomsOf(part).length;
  const places = rooms * Object.keys(GUITARS[part]).length;
  return cellsOf(part).filter(({ index }) => {
    const [round, place] = [Math.floor(index / places), index % places];
    return place % rooms === (Math.floor(place / rooms) + round) % rooms;
  });
}

/** Is the part heard by peers, too? */
export const hasPeers = (part: Part): boolean => part !== 'choose';

const ROOMS_OF: Readonly<Record<Part, object>> = {
  'fresh-a': ROOMS,
  choose: ROOMS_TO_CHOOSE,
  'fresh-b': ROOMS,
  'fresh-c': ROOMS,
  'fresh-d': ROOMS_AT_HOME,
};

const roomsOf = (part: Part): Room[] => Object.keys(ROOMS_OF[part]) as Room[];
