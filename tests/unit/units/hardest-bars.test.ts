// The set of hardest changes of a section, found by the cost of the change and the time it has.
import { expect, it } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { changesOf } from '../../../app/core/units/bars/pair.ts';
import { parseUnitKey } from '../../../app/core/units/keys.ts';
import { listUnits, resolveUnit } from '../../../app/core/units/resolve.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const chartOf = (bars: string) =>
  unwrap(parseChart(`title: T\ntempo: q = 120\nmeter: 4/4\n\n[Verse]\n${bars}\n`));
const hardest = (bars: string) => resolveUnit(chartOf(bars), unwrap(parseUnitKey('hardest:Verse')));

it('drills the changes with a barre before the open ones', () => {
  // Am to Bm makes a barre, Em to Am moves two fingers by a string (common practice, no source).
  const unit = unwrap(hardest('| Em | Am | Bm / / F#m | Em |'));
  const [first] = changesOf(unit.bars);
  expect([first!.from.symbol, first!.to.symbol]).toContain('Bm');
  expect(unit.name).toBe('Hardest changes of Verse');
});

it('holds at most three different changes, each back and forth', () => {
  const unit = unwrap(hardest('| C | G | Am | F | Dm | E |'));
  const there = changesOf(unit.bars).map(({ from, to }) => [from, to].toSorted().join());
  expect(new Set(there).size).toBeLessThanOrEqual(5); // three pairs and the two joins between them
});

it('says when there is nothing to change', () => {
  expect(hardest('| C | % |')).toMatchObject({
    ok: false,
    problems: [{ code: 'unit-hardest-none', message: expect.stringContaining('‘Verse’') }],
  });
});

it('is listed once for every section that has one', () => {
  const kinds = listUnits(chartOf('| C | G |\n\n[Tag]\n| C |')).map((unit) => unit.key);
  expect(kinds.filter((key) => key.startsWith('hardest:'))).toEqual(['hardest:Verse']);
});
