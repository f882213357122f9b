// The ear's figures over scored takes, with intervals, by guitar and room, and as text.
import type { StringNo } from '../../../app/core/base/units.ts';
import { quantile } from '../bench.ts';
import { counted, type Counted } from './counted.ts';
import type { Deed } from './plan.ts';
import {
  confusion,
  isRight,
  judgedPass,
  lateness,
  offsetErrors,
  saysRight,
  saysWrong,
  type ScoredChange,
  type ScoredTake,
  scoreTake,
} from './score.ts';
import { takesOf } from './set.ts';

export const changesOf = (takes: readonly ScoredTake[]): readonly ScoredChange[] =>
  takes.flatMap((take) => take.changes);

const count = (all: readonly ScoredChange[], test: (change: ScoredChange) => boolean): Counted =>
  counted(all.filter(test).length, all.length);

export const accepted = (all: readonly ScoredChange[]): Counted =>
  count(all.filter(isRight), saysRight);

/** Told to be anything but right or unsure. */
export const caught = (all: readonly ScoredChange[], deeds?: readonly Deed[]): Counted =>
  count(
    all.filter((c) => !isRight(c) && (deeds === undefined || deeds.includes(c.truth.deed))),
    saysWrong,
  );

/** An exchanged tone, the chord before held on, nothing struck, all strings muted, another chord. */
const WRONG_CHORDS: readonly Deed[] = ['swap', 'held', 'silent', 'muted', 'other'];

/** What a player would call a wrong chord; single strings and colours are apart. */
export const chordCaught = (all: readonly ScoredChange[]): Counted => caught(all, WRONG_CHORDS);

/** Of right chords at least 60 ms late: told late. */
export const lateTold = (all: readonly ScoredChange[]): Counted =>
  count(
    all.filter((c) => isRight(c) && (lateness(c) ?? 0) >= 0.06),
    ({ heard }) => heard.timing === 'late',
  );

/** Of the changes whose strings at fault were named: named were these and no others. */
export const stringsNamed = (all: readonly ScoredChange[]): Counted =>
  namedAs(all, (told, atFault) => told.toSorted().join() === atFault.toSorted().join());

/** Of the same changes: every string that was named is at fault, though another one may be, too. */
export const stringsTrue = (all: readonly ScoredChange[]): Counted =>
  namedAs(all, (told, atFault) => told.every((string) => atFault.includes(string)));

type Strings = readonly StringNo[];

function namedAs(
  all: readonly ScoredChange[],
  isSo: (told: Strings, atFault: Strings) => boolean,
): Counted {
  const named = all.flatMap(({ truth: { atFault = [] }, heard: { dead = [], ringing } }) => {
    const told = [...new Set([...dead, ...(ringing === undefined ? [] : [ringing])])];
    return atFault.length > 0 && told.length > 0 ? [isSo(told, atFault)] : [];
  });
  return counted(named.filter((same) => same).length, named.length);
}

export const unsure = (all: readonly ScoredChange[]): Counted =>
  count(all, ({ heard }) => heard.chord === 'unsure' || heard.timing === 'unsure');

export const costOf = (takes: readonly ScoredTake[]): number =>
  takes.reduce((sum, t) => sum + t.cost, 0) / takes.reduce((sum, t) => sum + t.plan.length, 0);

/** Passes called what they truly were, of those that were truly so, beyond 5 ms of doubt. */
export function passesTold(takes: readonly ScoredTake[], truth: 'clean' | 'missed'): Counted {
  const passes = takes.map(judgedPass).filter((pass) => pass.clear && pass.truth === truth);
  return counted(passes.filter(({ verdict }) => verdict === truth).length, passes.length);
}

/** Changes by guitar × room × deed. */
const cellsOf = (all: readonly ScoredChange[]) =>
  Map.groupBy(all, ({ plan, truth }) => [plan.timbre, plan.level, truth.deed].join(' × '));

export const cellCount = (all: readonly ScoredChange[]): number => cellsOf(all).size;

/** Every cell with how many were told as they were, by name. */
export const cellsInFull = (all: readonly ScoredChange[]): string[] =>
  [...cellsOf(all)]
    .map(([name, of]) => `${name}: ${of.filter(isTold).length} of ${of.length}`)
    .toSorted();

const isTold = (c: ScoredChange): boolean => (isRight(c) ? saysRight(c) : saysWrong(c));

/** Cells with at least one fault, worst first. */
export function worstCells(all: readonly ScoredChange[], most = 10): string[] {
  return [...cellsOf(all)]
    .map(([name, of]) => {
      return { name, good: of.filter(isTold).length, of: of.length };
    })
    .filter(({ good, of }) => good < of)
    .toSorted((a, b) => a.good / a.of - b.good / b.of || b.of - a.of)
    .slice(0, most)
    .map(({ name, good, of }) => `${name}: ${good} of ${of}`);
}

/** Rows: what was played; columns: rooms. How many were told as they were, of how many; right is told right. */
function kindsByRoom(all: readonly ScoredChange[]): string {
  const rooms = [...new Set(all.map(({ plan }) => plan.level))];
  const line = (cells: readonly string[]): string =>
    cells.map((cell, i) => (i === 0 ? cell.padEnd(16) : cell.padStart(13))).join('');
  const cell = (of: readonly ScoredChange[]): string =>
    of.length === 0 ? '–' : `${of.filter(isTold).length} of ${of.length}`;
  const rows = [...Map.groupBy(all, ({ truth }) => truth.deed)]
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([deed, of]) =>
      line([
        deed,
        ...rooms.map((room) => cell(of.filter(({ plan }) => plan.level === room))),
        cell(of),
      ]),
    );
  return [line(['played \\ room', ...rooms, 'all']), ...rows].join('\n');
}

/** What was taken for what: each deed with how often it was told which way, most often first. */
export function confusionWords(all: readonly ScoredChange[]): string {
  const told = (of: readonly ScoredChange[]): string =>
    [...Map.groupBy(of, ({ heard }) => heard.chord)]
      .toSorted(([, a], [, b]) => b.length - a.length)
      .map(([chord, times]) => `${chord} ${times.length}`)
      .join(', ');
  return [...Map.groupBy(all, ({ truth }) => truth.deed)]
    .map(([deed, of]) => `${deed} → ${told(of)}`)
    .join('; ');
}

/** One line of figures for some takes. */
function lineOf(name: string, takes: readonly ScoredTake[]): string {
  const all = changesOf(takes);
  const errors = offsetErrors(all);
  const sizes = errors.map(Math.abs);
  return [
    name.padEnd(12),
    `${all.length} changes`,
    `right accepted ${accepted(all).words}`,
    `wrong caught, all kinds ${caught(all).words}`,
    `wrong chord caught ${chordCaught(all).words}`,
    `can’t tell ${unsure(all).words}`,
    `late told ${lateTold(all).words}`,
    `moment: median ${quantile(sizes, 0.5).toFixed(1)}, p95 ${quantile(sizes, 0.95).toFixed(1)}, bias ${quantile(errors, 0.5).toFixed(1)} ms`,
  ].join(' · ');
}

/** Everything, by guitar and room, with the table of what was taken for what. */
export function report(name: string, takes: readonly ScoredTake[]): string {
  const all = changesOf(takes);
  const by = (pick: (take: ScoredTake) => string) =>
    [...new Set(takes.map(pick))].map((of) =>
      lineOf(
        of,
        takes.filter((t) => pick(t) === of),
      ),
    );
  const deeds = [...new Set(all.map((c) => c.truth.deed))].filter((deed) => deed !== 'right');
  return [
    lineOf(name, takes),
    ...by(({ plan }) => plan.timbre),
    ...by(({ plan }) => plan.level),
    ...by(({ plan }) => (plan.shapesKnown ? 'shapes' : 'symbols')),
    ...deeds.map((deed) => `${deed}: caught ${caught(all, [deed]).words}`),
    `strings at fault named rightly where named ${stringsNamed(all).words}; all that are named are at fault ${stringsTrue(all).words}`,
    `clean passes called clean ${passesTold(takes, 'clean').words}`,
    `missed passes called missed ${passesTold(takes, 'missed').words}`,
    `cost ${(100 * costOf(takes)).toFixed(2)} % of one core`,
    '',
    ...worstCells(all),
    '',
    kindsByRoom(all),
    '',
    confusion(all),
  ].join('\n');
}

/** The part on which all choices fall: rendered and heard anew. */
export const validationReport = (): string =>
  report(
    'validation',
    takesOf().map((take) => scoreTake(take)),
  );
