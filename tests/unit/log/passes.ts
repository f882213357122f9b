// Builds passes for tests: say what matters, the rest is a plain section at 80 bpm.
import type { PassRecord } from '../../../app/core/model/pass.ts';
import type { Bpm, IsoTime } from '../../../app/core/base/units.ts';

export interface PassWish extends Partial<PassRecord> {
  readonly bpm?: Bpm;
  readonly target?: Bpm;
  readonly unitKey?: string;
}

let made = 0;

/** A pass that ended at this time. Ids are p1, p2 … in order of making unless given. */
export function pass(at: IsoTime, wish: PassWish = {}): PassRecord {
  const { bpm = 80, target = 120, unitKey = 'section:Verse', ...rest } = wish;
  return {
    id: `p${++made}`,
    at,
    session: at.slice(0, 10),
    climb: `${at.slice(0, 10)}-1`,
    chart: { id: 'chart-1', title: 'Harbour Lights' },
    unit: { key: unitKey, name: unitKey.replace(/^.*:/, ''), fingerprint: `fp-${unitKey}` },
    rung: { bpm, beat: 'quarter', index: 0, of: 5, target },
    verdict: 'clean',
    source: 'self',
    cold: false,
    duration: 30,
    ...rest,
  };
}

/** One pass a minute from `at` on, at these tempos: a minus sign marks a missed one. */
export function passesOf(
  at: IsoTime,
  tempos: readonly number[],
  wish: PassWish = {},
): PassRecord[] {
  const [date, offset] = [at.slice(0, 19), at.slice(19)];
  const start = Date.parse(`${date}Z`);
  return tempos.map((tempo, i) =>
    pass(new Date(start + 60_000 * i).toISOString().slice(0, 19) + offset, {
      ...wish,
      bpm: Math.abs(tempo),
      verdict: tempo < 0 ? 'missed' : 'clean',
      cold: i === 0,
    }),
  );
}
