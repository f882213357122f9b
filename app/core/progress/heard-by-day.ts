// What was heard and said of a unit's changes, counted by day: enough to say which one breaks most, without its passes.
import type { IsoDate } from '../base/units.ts';
import { dateOfDay, dayNumber, localDate, passesSince } from '../log/days.ts';
import { changesCounted } from '../log/players-word.ts';
import { isTold } from '../log/told.ts';
import type { PassRecord } from '../model/pass.ts';
import { broken, wilsonLower, type ChangeTally } from './changes.ts';

export interface DayHeard {
  readonly date: IsoDate;
  readonly heard: readonly (ChordPair & { readonly times: number; readonly broke: number })[];
  /** Those that the player said broke, at a place of the bars with this fingerprint. */
  readonly marked: readonly (ChordPair & {
    readonly print: string;
    readonly change: number;
    readonly times: number;
  })[];
  /** Clean passes of which no change was heard. */
  readonly clean: readonly { readonly print: string; readonly times: number }[];
}

type ChordPair = Pick<ChangeTally, 'from' | 'to'>;

/** What is heard of so many days says what to do next. */
const DAYS = 14;

/** The first of the fourteen days that end with `asOf`. */
export const heardFrom = (asOf: IsoDate): IsoDate => dateOfDay(dayNumber(asOf) - DAYS + 1);

/** The last two weeks, each day on which it was played. @param passes of one unit, settled, in time order */
export const heardByDay = (passes: readonly PassRecord[], asOf: IsoDate): readonly DayHeard[] =>
  [...Map.groupBy(passesSince(passes, heardFrom(asOf)), ({ at }) => localDate(at))].map(
    ([date, those]) => dayOf(date, those),
  );

function dayOf(date: IsoDate, passes: readonly PassRecord[]): DayHeard {
  const sound = passes.filter(({ underrun }) => !underrun);
  const heard = sound.flatMap(changesCounted).filter(isTold);
  const marks = sound.flatMap(({ broke, unit }) =>
    broke?.to ? [{ ...broke, print: unit.fingerprint }] : [],
  );
  const clean = sound.filter(({ verdict, changes }) => verdict === 'clean' && !changes?.length);
  return {
    date,
    heard: grouped(heard, nameOf).map((those) => ({
      ...changeOf(those[0]!),
      times: those.length,
      broke: those.filter(broken).length,
    })),
    marked: grouped(marks, placeOf).map((those) => ({
      ...changeOf(those[0]!),
      ...{ print: those[0]!.print, change: those[0]!.change, times: those.length },
    })),
    clean: grouped(clean, ({ unit }) => unit.fingerprint).map((those) => ({
      print: those[0]!.unit.fingerprint,
      times: those.length,
    })),
  };
}

/** As `breakingChanges` puts it first: the change that breaks most, and how often at least. */
export function breaksMost(
  days: readonly DayHeard[],
): Pick<ChangeTally, 'from' | 'to' | 'broke' | 'atLeast'> | undefined {
  const clean = (print: string): number =>
    sumOf(
      days.flatMap((day) => day.clean).filter((one) => one.print === print),
      ({ times }) => times,
    );
  const heard = days.flatMap((day) => day.heard);
  const said = grouped(
    days.flatMap((day) => day.marked),
    placeOf,
  ).map((those) => {
    const broke = sumOf(those, ({ times }) => times);
    return { ...changeOf(those[0]!), broke, times: broke + clean(those[0]!.print) };
  });
  return grouped([...heard, ...said], nameOf)
    .map((those) => {
      const broke = sumOf(those, (one) => one.broke);
      const times = sumOf(those, (one) => one.times);
      return { ...changeOf(those[0]!), broke, atLeast: wilsonLower(broke, times) };
    })
    .sort((a, b) => b.atLeast - a.atLeast || b.broke - a.broke)[0];
}

const changeOf = ({ from, to }: ChordPair): ChordPair => ({ from, to });
const nameOf = ({ from, to }: ChordPair): string => `${from}\n${to}`;
const placeOf = ({ print, change }: { readonly print: string; readonly change: number }): string =>
  `${print}\n${change}`;

const grouped = <T>(all: readonly T[], by: (one: T) => string): readonly (readonly T[])[] => [
  ...Map.groupBy(all, by).values(),
];

const sumOf = <T>(all: readonly T[], of: (one: T) => number): number =>
  all.reduce((sum, one) => sum + of(one), 0);
