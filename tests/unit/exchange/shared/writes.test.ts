// Values that several machines set: the same one stands everywhere, in whatever order their writes come; no chart is lost.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { settlePasses, withTurns } from '../../../../app/core/log/history.ts';
import type { Amendment } from '../../../../app/core/model/pass.ts';
import { idAside, textAside } from '../../../../app/core/exchange/shared/chart-aside.ts';
import { codeOf, personOf, readCode } from '../../../../app/core/exchange/shared/person.ts';
import {
  idOf,
  standingOf,
  standingWhole,
  textOf,
  type Write,
} from '../../../../app/core/exchange/shared/writes.ts';
import { samplePass } from '../../services/samples.ts';

const MACHINES = ['anna', 'ben', 'cleo'] as const;

/** One step on a machine: it sets a new value, or hears of some of what the others wrote. */
const step = fc.record({
  machine: fc.nat(MACHINES.length - 1),
  does: fc.constantFrom('sets', 'sets', 'hears'),
  share: fc.double({ min: 0, max: 1, noNaN: true }),
});

/** All writes of a history; each machine knows what it wrote and heard of. */
function live(steps: readonly { machine: number; does: string; share: number }[]): Write[] {
  const known = MACHINES.map(() => new Map<string, Write>());
  const all: Write[] = [];
  steps.forEach(({ machine, does, share }, i) => {
    const mine = known[machine]!;
    if (does === 'hears') {
      for (const one of all.slice(0, Math.round(share * all.length))) mine.set(idOf(one), one);
      return;
    }
    const writes = [...mine.values()];
    const top = standingOf(writes)?.top;
    const write: Write = {
      ...{ key: 'chart:k', value: `text ${i}`, writer: MACHINES[machine]! },
      machine: MACHINES[machine]!,
      turn: 1 + Math.max(0, ...writes.map(({ turn }) => turn)),
      ...(top ? { over: idOf(top) } : {}),
    };
    mine.set(idOf(write), write);
    all.push(write);
  });
  return all;
}

const seen = (writes: readonly Write[]) => {
  const standing = standingOf(writes);
  return standing && [standing.top.value, standing.aside.map(({ value }) => value)];
};

describe('values that several machines set', () => {
  it('stand alike in 10,000 histories, in any order, with copies', () => {
    const history = fc.array(step, { minLength: 1, maxLength: 14 }).map(live);
    const disorder = history.chain((all) =>
      fc.tuple(
        fc.constant(all),
        fc.shuffledSubarray(all, { minLength: all.length }),
        fc.subarray(all),
      ),
    );
    fc.assert(
      fc.property(disorder, ([all, order, again]) => {
        expect(seen([...order, ...again])).toEqual(seen(all));
        if (all.length === 0) return;
        // What nobody wrote over stands, or stands aside: nothing that was typed is lost.
        const followed = new Set(all.map(({ over }) => over));
        const leaves = all.filter((one) => !followed.has(idOf(one))).map(({ value }) => value);
        const { top, aside } = standingOf(all)!;
        expect([top, ...aside].map(({ value }) => value).toSorted()).toEqual(leaves.toSorted());
      }),
      { numRuns: 10_000 },
    );
  });

  it('go by turns: a later write wins whoever made it, and one that saw the other leaves nothing aside', () => {
    const first: Write = { key: 'k', value: 1, turn: 1, writer: 'zoe', machine: 'Z' };
    const next: Write = {
      key: 'k',
      value: 2,
      turn: 2,
      writer: 'anna',
      machine: 'A',
      over: '1.zoe',
    };
    expect(seen([next, first])).toEqual([2, []]);
    const beside: Write = { ...next, turn: 2, writer: 'ben', machine: 'B', value: 3 };
    expect(seen([beside, first, next])).toEqual([3, [2]]);
    expect(seen([{ ...beside, value: 2 }, first, next])).toEqual([2, []]);
    expect(seen([{ ...beside, value: null }, first, next])).toEqual([null, [2]]);
    expect(seen([])).toBeUndefined();
  });

  it('are equal whatever the order of their keys', () => {
    expect(textOf({ b: [{ y: 1, x: 2 }], a: null })).toBe(textOf({ a: null, b: [{ x: 2, y: 1 }] }));
    expect(textOf([1, 2])).not.toBe(textOf([2, 1]));
  });
});

describe('a chart that was changed on two machines', () => {
  const write: Write = { key: 'chart:k', value: '', turn: 4, writer: 'anna', machine: 'Laptop' };

  it('gets an id and a title of its own, the same everywhere', () => {
    const text = textAside('k', write, 'id: k\ntitle: Low Tide\ntempo: 90\n\n[Verse]\n| G |\n');
    expect(text).toBe(
      `id: ${idAside('k', write)}\ntitle: Low Tide (from Laptop)\ntempo: 90\n\n[Verse]\n| G |\n`,
    );
    expect(idAside('k', { ...write, turn: 5 })).not.toBe(idAside('k', write));
    expect(idAside('k'.repeat(64), write)).toMatch(/^[A-Za-z0-9-]{1,64}$/);
  });
});

describe('a thing that was taken away', () => {
  const write = (turn: number, value: string | null, over?: number): Write => ({
    ...{ key: 'student:a/head', machine: 'M', writer: 'w', turn, value },
    ...(over === undefined ? {} : { over: `${over}.w` }),
  });
  it.each<[what: string, stands: string | null, writes: readonly Write[]]>([
    ['is there until then', 'b', [write(1, 'a'), write(2, 'b', 1)]],
    [
      'stays away from who did not know of it',
      null,
      [write(1, 'a'), write(2, null, 1), write(9, 'c', 1)],
    ],
    [
      'comes back by who knew of it, as the greatest turn has it',
      'c',
      [write(1, 'a'), write(2, null, 1), write(9, 'c', 1), write(3, 'back', 2)],
    ],
    [
      'may go again',
      null,
      [write(1, 'a'), write(2, null, 1), write(3, 'back', 2), write(4, null, 3)],
    ],
    [
      'comes back once where two took it away',
      'back',
      [write(1, 'a'), write(2, null, 1), write(3, null, 1), write(4, 'back', 3)],
    ],
  ])('%s', (_, stands, writes) => {
    for (const all of [writes, writes.toReversed(), [...writes, ...writes]])
      expect(standingWhole(all)?.top.value).toBe(stands);
  });
});

describe('words on a pass', () => {
  it('settle alike on every machine, whatever the clocks said', () => {
    const verdict = fc.constantFrom('clean', 'missed', 'unjudged');
    const said = fc.record({
      verdict,
      at: fc.integer({ min: 1990, max: 2040 }),
      hears: fc.boolean(),
    });
    const pass = samplePass('p');
    fc.assert(
      fc.property(fc.array(said, { minLength: 1, maxLength: 8 }), (words) => {
        const all: Amendment[] = [];
        const own: Amendment[][] = [[], []];
        words.forEach(({ verdict: v, at, hears }, i) => {
          const mine = own[i % 2]!;
          if (hears) mine.push(...all.filter((one) => !mine.includes(one)));
          const word = {
            amends: 'p',
            at: `${at}-01-01T00:00:00Z`,
            verdict: v,
            source: 'self',
          } as const;
          for (const entry of withTurns([{ kind: 'amendment', amendment: word }], () => mine)) {
            if (entry.kind !== 'amendment') continue;
            mine.push(entry.amendment);
            all.push(entry.amendment);
          }
        });
        const [forth] = settlePasses([pass], all);
        const [back] = settlePasses([pass], all.toReversed());
        expect(back).toEqual(forth);
      }),
      { numRuns: 2_000 },
    );
  });

  it('take a turn after all that were known, and are said once', () => {
    const word = (at: string) =>
      ({ amends: 'p', at, verdict: 'missed', source: 'self' }) as const satisfies Amendment;
    const [first] = withTurns(
      [{ kind: 'amendment', amendment: word('2031-01-01T00:00:00Z') }],
      () => [],
    );
    expect(first).toMatchObject({ amendment: { turn: 1 } });
    const known = first!.kind === 'amendment' ? [first!.amendment] : [];
    const again = [word('2031-01-01T00:00:00Z'), word('1999-01-01T00:00:00Z')].map(
      (amendment) => ({ kind: 'amendment', amendment }) as const,
    );
    expect(withTurns(again, () => known)).toMatchObject([{ amendment: { turn: 2 } }]);
  });
});

describe('the code of a player’s machines', () => {
  it('is read however it is typed, and told from what is none', () => {
    const code = codeOf('an id');
    expect(code).toMatch(/^[A-Z0-9]{4}-[A-Z0-9]{4}$/);
    expect(codeOf('another')).not.toBe(code);
    expect(readCode(` ${code.toLowerCase().replace('-', ' ')} `)).toBe(code);
    for (const none of ['', 'ABCD', `${code}X`, 'OOOO-1111'])
      expect(readCode(none)).toBeUndefined();
    expect(personOf(code)).toMatch(/^[0-9a-f]{32}$/);
    expect(personOf(code)).not.toBe(personOf('ACDE-FGHJ'));
  });
});
