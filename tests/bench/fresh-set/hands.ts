// What the hands do: every string that is plucked, and when it stops, for a whole take.
import type { Seconds } from '../../../app/core/base/units.ts';
import type { Expectation, ExpectedStroke } from '../../../app/core/ear/model.ts';
import type { Voicing } from '../../../app/core/units/hands/hands.ts';
import type { Player } from '../ear-set/plan.ts';
import type { Dice } from '../ear-set/random.ts';
import type { Setting } from './charts.ts';
import type { Done, Hand, Lean, Sounding, TrueChange } from './model.ts';

/** Ranges of the spread, after an annotated take of GuitarSet (median 11 ms) and wider on both sides, as learners play. */
const SPREADS = {
  usual: [0.009, 0.026],
  quick: [0.003, 0.009],
  slow: [0.026, 0.08],
  together: [0, 0.006],
  broken: [0.2, 0.5],
} as const;

/** Strings of learners differ more than those of players: by up to 14 dB. */
const BALANCES = { even: [0.75, 1.15], everyday: [0.45, 1.15], uneven: [0.2, 1.15] } as const;
/** Guitars turned round, of those who play every day. */
const TURNED = 0.08;

export function drawHand(d: Dice, { strum, each, bar }: Setting, player: Player, lean: Lean): Hand {
  const canBreak = bar / each > 0.9 && (strum === '' || strum.endsWith('-- -- --'));
  const style = d.weighted<Hand['style']>([
    ['usual', 55],
    ['quick', 15],
    ['slow', 16],
    ['together', 8],
    ['broken', canBreak ? 40 : 0],
  ]);
  const [least, most] = SPREADS[style];
  const hand: Hand = {
    style,
    broken: style === 'broken',
    spread: d.between(least, most),
    lifts: d.chance(0.75) ? d.between(0.015, 0.05) : d.between(0.05, 0.25),
    ringsOn: d.chance(0.4),
    // Of a chord that lacks its low strings not every fault can be heard.
    fullUp: player === 'spoilt' || d.chance(0.5),
    balance: BALANCES[lean === 'quiet' ? 'uneven' : lean === 'everyday' ? lean : 'even'],
  };
  if (lean !== 'everyday') return hand;
  // Turned round, an up-stroke that leaves strings out would leave out the highest.
  return d.chance(TURNED)
    ? { ...hand, whole: true, turned: true, fullUp: true }
    : { ...hand, whole: true };
}

interface Played {
  readonly known: Expectation;
  readonly hand: Hand;
  readonly changes: readonly TrueChange[];
  readonly deeds: readonly Done[];
}

interface Stroke {
  readonly at: Seconds;
  readonly direction: 'down' | 'up';
  readonly held: Voicing;
  readonly done: Done;
  /** The first of its chord. */
  readonly first: boolean;
  readonly muted: boolean;
}

export function strokesOf(d: Dice, played: Played): Sounding[] {
  const strokes = played.changes.flatMap((_, i) => strokesOfChange(d, played, i));
  const strings: Sounding[][] = Array.from({ length: 6 }, () => []);
  const balance = Array.from({ length: 6 }, () => d.between(...played.hand.balance));
  const force = d.between(0.55, 1);
  strokes.forEach((stroke, i) => {
    if (i > 0) stopBefore(strings, stroke, strokes[i - 1]!, played.hand);
    const width = played.hand.spread * (stroke.first || !played.hand.broken ? 1 : 0.08);
    const order = orderOf(d, stroke, played.hand);
    order.forEach((string, k) => {
      const share = order.length > 1 ? k / (order.length - 1) : 0;
      const jitter = k === 0 ? 0 : width * d.between(-0.08, 0.08);
      const at = stroke.at + Math.max(0, width * share + jitter);
      const own = force * balance[string]! * d.between(0.85, 1.15);
      const last = strings[string]!.at(-1);
      if (last && last.until > at - 0.004) {
        strings[string]!.splice(-1, 1, {
          ...last,
          until: at - 0.004,
          fall: Math.min(last.fall, 0.002),
        });
      }
      strings[string]!.push(
        pluck(d, stroke, string, at, stroke.direction === 'up' ? 0.85 * own : own),
      );
    });
  });
  return strings.flat();
}

function pluck(
  d: Dice,
  { held, done, muted }: Stroke,
  string: number,
  at: Seconds,
  force: number,
): Sounding {
  const dead = muted || done.deed === 'muted' || done.dead.includes(string);
  const weak = done.weak.includes(string);
  const own = { at, string, midi: held[string]!, force };
  if (dead) {
    return {
      ...own,
      until: at + 0.002,
      fall: d.between(0.004, 0.02),
      thud: d.between(0.2, 0.8),
      buzz: 0,
    };
  }
  if (weak) {
    const buzz = d.chance(0.7) ? d.between(0.1, 0.5) : 0;
    return { ...own, until: at + 0.004, fall: d.between(0.014, 0.055), thud: 0.1, buzz };
  }
  return { ...own, until: Infinity, fall: 0.02, thud: 0, buzz: 0 };
}

/** The strings in the order in which they are struck. */
function orderOf(d: Dice, { direction, held, first }: Stroke, hand: Hand): number[] {
  const own = held.flatMap((m, string) => (m === null ? [] : [string]));
  if (hand.broken && first && own.length > 2 && d.chance(0.6)) {
    const [bass, ...rest] = own;
    return [bass!, ...shuffled(d, rest)];
  }
  const fromLow = (direction === 'down') !== (hand.turned === true);
  if (fromLow) return own;
  const reached = own.slice(direction === 'down' || hand.fullUp ? 0 : -d.pick([4, 5]));
  const tones = (strings: readonly number[]) => new Set(strings.map((s) => held[s]! % 12)).size;
  return (hand.whole && tones(reached) < tones(own) ? own : reached).toReversed();
}

function shuffled<T>(d: Dice, list: readonly T[]): T[] {
  return list
    .map((x) => [d.between(0, 1), x] as const)
    .toSorted(([a], [b]) => a - b)
    .map(([, x]) => x);
}

/** The left hand leaves one chord for the next. */
function stopBefore(strings: Sounding[][], stroke: Stroke, before: Stroke, hand: Hand): void {
  const changes = stroke.held.join() !== before.held.join();
  strings.forEach((plucks, string) => {
    const last = plucks.at(-1);
    if (!last || last.until < stroke.at) return;
    const damped =
      stroke.muted || stroke.done.deed === 'muted' || stroke.done.dead.includes(string);
    const moved = changes && stroke.held[string] !== before.held[string];
    const goesOn = stroke.held[string] === null && hand.ringsOn && !damped;
    if ((!moved && !damped) || (moved && goesOn && before.held[string] !== null)) return;
    const at = stroke.at - (damped && !changes ? 0.004 : hand.lifts);
    plucks.splice(-1, 1, { ...last, until: Math.max(last.at + 0.02, at), fall: 0.02 });
  });
}

/** Every stroke that is due while a chord lasts, as it is really played. */
function strokesOfChange(d: Dice, { known, hand, changes, deeds }: Played, i: number): Stroke[] {
  const { played, until, due } = changes[i]!;
  const done = deeds[i]!;
  if (played === null) return [];
  const next = changes[i + 1]?.played;
  return slotsOf(known, i).flatMap((slot, k): Stroke[] => {
    const first = k === 0;
    const at = first ? played : slot.at + Math.max(-0.03, Math.min(0.03, d.normal(0, 0.008)));
    // A late hand leaves out the strokes it has missed, and an early next change cuts the last one.
    const busy = hand.broken ? hand.spread + 0.08 : Math.max(0.09, hand.spread + 0.03);
    if (!first && (at < played + busy || slot.at < due + 1e-6)) return [];
    if (!first && at > (next ?? until) - 0.06) return [];
    const corrected = done.deed === 'held-then-right' && !first;
    const own = known.changes[i]!.to!.strings!;
    const held = corrected ? own : done.held;
    const now: Done = corrected ? { deed: 'right', held: own, dead: [], weak: [] } : done;
    return [{ at, direction: slot.direction, held, done: now, first, muted: slot.muted && !first }];
  });
}

/** The strokes as written; where none are, one on every beat. */
function slotsOf({ changes, strokes, beat }: Expectation, i: number): ExpectedStroke[] {
  const { due, until } = changes[i]!;
  const written = strokes.filter((s) => s.at >= due - 1e-6 && s.at < until - 1e-6);
  if (written.length > 0) return written;
  const count = Math.max(1, Math.round((until - due) / beat));
  return Array.from({ length: count }, (_, k) => ({
    at: due + k * beat,
    direction: 'down' as const,
    muted: false,
  }));
}
