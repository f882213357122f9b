// Which chord changes break most, from what the ear heard and what the player said.
import { eachOf } from '../base/each-of.ts';
import type { Milliseconds, Share } from '../base/units.ts';
import { median } from '../base/median.ts';
import { changesCounted } from '../log/players-word.ts';
import { CHANGE_FAULTS, type ChangeFault, faultsOf, isTold } from '../log/told.ts';
import type { ChangeTold, PassRecord } from '../model/pass.ts';
import type { BreakPlace } from '../model/unit.ts';

/** One change (two chords in order) over all that was heard and said of it. */
export interface ChangeTally {
  readonly from: string;
  readonly to: string;
  /** Times the ear could tell, or the player said so. */
  readonly heard: number;
  readonly broke: number;
  /** Of those that broke, as many as the player said by hand. */
  readonly said: number;
  /** Of those that held, as many as the player upheld against the ear. */
  readonly upheld: number;
  readonly share: Share;
  /** The share is likely (one-sided 95 %) at least this: the order of the list, so that 1 of 1 does not lead. */
  readonly atLeast: Share;
  /** How often the ear found each fault; one hearing can be both late and wrong. */
  readonly faults: Readonly<Record<ChangeFault, number>>;
  /** Middle offset where it was timed; positive is late. */
  readonly offset?: Milliseconds;
}

/**
 * Most broken first. Passes with an audio underrun and changes the ear was unsure of do not count. A mark by hand
 * counts like a finding; for a change once marked, so does every pass of the same bars that was called clean.
 */
export function breakingChanges(passes: readonly PassRecord[]): ChangeTally[] {
  const sound = passes.filter((pass) => !pass.underrun);
  const heard = sound.flatMap(changesCounted).filter(isTold);
  const all: readonly ChangeTold[] = [...heard, ...saidByHand(sound)];
  return [...Map.groupBy(all, ({ from, to }) => `${from}\n${to}`).values()]
    .map(tallyChange)
    .sort((a, b) => b.atLeast - a.atLeast || b.broke - a.broke);
}

/** The player's marks, and what passes without an ear say of the marked changes. */
function saidByHand(passes: readonly PassRecord[]): readonly ChangeTold[] {
  const marked = Map.groupBy(
    passes.flatMap((pass) => (pass.broke?.to ? [{ pass, broke: pass.broke }] : [])),
    ({ pass, broke }) => `${pass.unit.fingerprint}\n${broke.change}`,
  );
  return [...marked.values()].flatMap((marks) => {
    const { pass, broke } = marks[0]!;
    const clean = passes.filter(
      (p) =>
        p.unit.fingerprint === pass.unit.fingerprint && p.verdict === 'clean' && !p.changes?.length,
    );
    return [...marks.map(() => told(broke, true)), ...clean.map(() => told(broke, false))];
  });
}

const told = ({ bar, change, from, to }: BreakPlace, broke: boolean): ChangeTold => ({
  ...{ bar, change, from, to },
  timing: broke ? 'unsure' : 'on-time',
  chord: broke ? 'other' : 'right',
  confidence: 1,
  byHand: true,
});

/** Was it told to be early, late, silent, or the wrong chord? */
export const broken = (change: ChangeTold): boolean => isTold(change) && faultsOf(change).size > 0;

function tallyChange(hearings: readonly ChangeTold[]): ChangeTally {
  const count = (is: (change: ChangeTold) => boolean): number => hearings.filter(is).length;
  const offsets = hearings.flatMap(({ offset }) => (offset === undefined ? [] : [offset]));
  const broke = count(broken);
  return {
    from: hearings[0]!.from,
    to: hearings[0]!.to,
    heard: hearings.length,
    broke,
    said: count((change) => change.byHand === true && broken(change)),
    upheld: count((change) => change.byHand === true && !broken(change)),
    share: broke / hearings.length,
    atLeast: wilsonLower(broke, hearings.length),
    faults: faultCounts(hearings),
    ...(offsets.length > 0 ? { offset: median(offsets) } : {}),
  };
}

/** The player's own marks say that a change broke, not how. */
function faultCounts(hearings: readonly ChangeTold[]): Record<ChangeFault, number> {
  const found = hearings.filter(({ byHand }) => !byHand).map(faultsOf);
  const count = (fault: ChangeFault) => found.filter((faults) => faults.has(fault)).length;
  return eachOf(CHANGE_FAULTS, count);
}

/** Lower end of Wilson's one-sided 95 % interval of a share (Wilson 1927, JASA 22). */
export function wilsonLower(hits: number, of: number, z = 1.645): Share {
  if (of === 0) return 0;
  const p = hits / of;
  const middle = p + (z * z) / (2 * of);
  const reach = z * Math.sqrt((p * (1 - p)) / of + (z * z) / (4 * of * of));
  return Math.max(0, (middle - reach) / (1 + (z * z) / of));
}
