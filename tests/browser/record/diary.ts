// A diary for the record's browser tests and bench: some weeks of a simulated player on a demo chart, from a seed.
import { demoNamed } from '../../support/demo.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { assign, OWN_DESK, type Student } from '../../../app/core/progress/assignment.ts';
import { dateOfDay, dayNumber } from '../../../app/core/log/days.ts';
import type { ChangeHeard, LogEntry, PassRecord } from '../../../app/core/model/pass.ts';
import type { IsoDate } from '../../../app/core/base/units.ts';
import { dice, plainPlayer, practise } from '../../bench/honest/players.ts';
import { loggedBar } from '../../../app/core/units/bars/logged-bars.ts';

export const chart = demoNamed('low-tide-lanterns');
export const units = listUnits(chart);

export interface DiaryChoices {
  /** The last practice day. */
  readonly until: IsoDate;
  readonly days: number;
  readonly passesPerDay: number;
  /** Which of the chart's units, from the start of its list. */
  readonly units: number;
  readonly seed?: number;
  /** Starts every pass id, so that diaries do not collide. */
  readonly prefix?: string;
}

/** Log entries in order of time; every second unit is judged by ear with its changes heard. */
export function diary(choices: DiaryChoices): LogEntry[] {
  const { until, days, passesPerDay, seed = 1, prefix = 'd' } = choices;
  const roll = dice(seed);
  const from = dateOfDay(dayNumber(until) - days + 1);
  let id = 0;
  return units.slice(0, choices.units).flatMap((unit, u) => {
    const target = unit.tempo.bpm;
    const owned = (day: number) => target * (0.95 - 0.3 * Math.exp(-(day + 2 * u) / 12));
    const player = { ...plainPlayer(owned, 14), lapses: 0.02 };
    const calendar = { from, dayOf: (day: number) => day };
    const passes = practise(player, { days, passesPerDay, calendar }, roll);
    return passes.map((pass) => entryOf(unit, { ...pass, id: `${prefix}${++id}` }, u, roll));
  });
}

function entryOf(unit: Unit, pass: PassRecord, u: number, roll: () => number): LogEntry {
  const byEar = u % 2 === 1;
  const hour = String(9 + u).padStart(2, '0');
  const at = pass.at.replace(/T\d\d/, `T${hour}`);
  return {
    kind: 'pass',
    pass: {
      ...pass,
      at,
      session: `${pass.session}-${u}`,
      climb: `${pass.climb}-${u}`,
      chart: { id: chart.id, title: chart.title },
      unit: { key: unit.key, name: unit.name, fingerprint: unit.fingerprint },
      rung: { ...pass.rung, beat: unit.tempo.beat, target: unit.tempo.bpm },
      source: byEar ? 'ear' : 'self',
      ...(byEar ? { changes: heard(unit, pass.verdict === 'clean', roll) } : {}),
    },
    unit: { fingerprint: unit.fingerprint, bars: unit.bars.map(loggedBar) },
  };
}

function heard(unit: Unit, clean: boolean, roll: () => number): ChangeHeard[] {
  let before: string | undefined;
  let change = 0;
  return unit.bars.flatMap((bar, b) =>
    bar.chords.flatMap(({ chord: { symbol } }): ChangeHeard[] => {
      const from = before;
      before = symbol;
      if (from === undefined || from === symbol) return [];
      const late = !clean && roll() < 0.5;
      const offset = late ? 60 + 60 * roll() : 30 * (roll() - 0.5);
      return [
        {
          bar: b,
          change: change++,
          from,
          to: symbol,
          offset,
          timing: late ? 'late' : 'on-time',
          chord: 'right',
          confidence: 0.9,
        },
      ];
    }),
  );
}

/** The player's own desk with the first two units set by a teacher. */
export function ownDesk(due: IsoDate, at: string): Student {
  let id = 0;
  return {
    id: OWN_DESK,
    name: 'Ada',
    since: at,
    assignments: assign(chart, units.slice(0, 2), {
      at,
      by: 'Ms Tern',
      due,
      minutesPerWeek: 60,
      note: 'Slow hands, quick eyes.',
      newId: () => `set-${++id}`,
    }),
    comments: [{ id: 'c1', at, by: 'Ms Tern', text: 'A good start. Keep the wrist easy.' }],
  };
}
