// What a player does on one of several machines: plays, takes verdicts back, changes charts, settings, ladders and tasks.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { LogEntry } from '../../../app/core/model/pass.ts';
import type { Assignment } from '../../../app/core/progress/assignment.ts';
import { isoTimeOf } from '../../../app/core/base/iso-time.ts';
import { suggestRules } from '../../../app/core/ladder/suggest.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import type { Machine } from './own-machines.ts';

/** What was done on all machines together: it is to be found on each in the end. */
export interface Done {
  readonly passes: Set<string>;
  readonly tasks: Set<string>;
  readonly comments: Set<string>;
  /** Passes of students, with whose they are; and students who were taken off the list. */
  readonly reported: Map<string, string>;
  readonly removed: Set<string>;
  /** Removed for good: nothing of them is to be found anywhere in the end. */
  readonly forGood: Set<string>;
  readonly broughtBack: Set<string>;
  edits: number;
}

export const nothingDone = (): Done => ({
  ...{ passes: new Set<string>(), tasks: new Set<string>(), comments: new Set<string>() },
  ...{ reported: new Map<string, string>(), removed: new Set<string>() },
  ...{ broughtBack: new Set<string>(), forGood: new Set<string>() },
  edits: 0,
});

/** One day of practice on a machine: some passes, and now and then something else. */
export async function practise(machine: Machine, done: Done, random: () => number): Promise<void> {
  const pick = <T>(all: readonly T[]): T => all[Math.floor(random() * all.length)]!;
  const { charts } = await machine.call('charts.list', {});
  const listed = charts.length > 0 ? pick(charts) : undefined;
  const chart = listed && (await machine.done('charts.open', { id: listed.id }));
  if (!chart || (charts.length < 4 && random() < 0.2)) {
    await machine.done('charts.save', { chart: smallChart(`song-${machine.newId()}`) });
    return;
  }
  const entries = passesOf(machine, chart, 1 + Math.floor(random() * 5));
  await machine.call('log.append', { entries });
  for (const entry of entries) if (entry.kind === 'pass') done.passes.add(entry.pass.id);
  if (random() < 0.4) await takeBack(machine, random);
  if (random() < 0.3) {
    const tempo = { ...chart.tempo, bpm: 60 + Math.floor(random() * 60) };
    await machine.done('charts.save', { chart: { ...chart, tempo } });
    done.edits += 1;
  }
  if (charts.length > 3 && random() < 0.03) await machine.done('charts.remove', { id: chart.id });
  if (random() < 0.3) await choose(machine, random);
  if (random() < 0.3) await setItself(machine, chart, done, random);
}

const smallChart = (id: string): Chart => ({
  ...{ id, title: `Invented ${id}`, capo: 0, shapes: [] },
  tempo: { bpm: 80, beat: 'quarter' },
  meter: { numerator: 4, unit: 4, grouping: [1, 1, 1, 1] },
  feel: { kind: 'straight' },
  tuning: { name: 'Standard', strings: [40, 45, 50, 55, 59, 64] },
  sections: [
    {
      name: 'Verse',
      bars: [{ content: { kind: 'chords', chords: [{ at: { n: 0, d: 1 }, symbol: 'G' }] } }],
    },
  ],
  form: [{ section: 'Verse', times: 1 }],
});

function passesOf(machine: Machine, chart: Chart, count: number): readonly LogEntry[] {
  const [unit] = listUnits(chart);
  return Array.from({ length: count }, (_, i): LogEntry => {
    const id = machine.newId();
    return {
      kind: 'pass',
      unit: { fingerprint: unit!.fingerprint, bars: [] },
      pass: {
        id: `pass-${id}`,
        at: isoTimeOf(new Date(machine.now().getTime() + i)),
        ...{ session: `s-${id}`, climb: `c-${id}` },
        chart: { id: chart.id, title: chart.title },
        unit: { key: unit!.key, name: unit!.name, fingerprint: unit!.fingerprint },
        rung: { bpm: 80, beat: 'quarter', index: 2, of: 9, target: 120 },
        ...{ verdict: i % 3 === 2 ? 'missed' : 'clean', source: 'self', cold: i === 0 },
        duration: 12,
      },
    };
  });
}

/** The player's later word on a pass of any machine. */
async function takeBack(machine: Machine, random: () => number): Promise<void> {
  const { passes } = await machine.call('log.passes', { latest: 20 });
  const pass = passes[Math.floor(random() * passes.length)];
  if (!pass) return;
  const verdict = pass.verdict === 'clean' ? 'missed' : 'clean';
  const at = isoTimeOf(machine.now());
  const amendment = { amends: pass.id, at, verdict, source: 'self' } as const;
  await machine.call('log.append', { entries: [{ kind: 'amendment', amendment }] });
}

async function choose(machine: Machine, random: () => number): Promise<void> {
  const patch =
    random() < 0.5
      ? { leftHanded: random() < 0.5 }
      : { breakReminderMinutes: 5 + Math.floor(random() * 60), bandAlong: random() < 0.5 };
  await machine.call('settings.write', { patch });
  if (random() < 0.5)
    await machine.call('settings.write', { patch: { queue: [{ id: `q-${machine.newId()}` }] } });
  // What belongs to the machine stays there.
  await machine.call('settings.write', {
    patch: { masterLevel: random(), inputDevice: machine.name },
  });
}

async function setItself(
  machine: Machine,
  chart: Chart,
  done: Done,
  random: () => number,
): Promise<void> {
  const [unit] = listUnits(chart);
  const rules = { ...suggestRules(unit!), target: 90 + Math.floor(random() * 30) };
  await machine.done('ladders.save', {
    ...{ chart: chart.id, unit: unit!.key, rules },
    options: {
      ...{ countIn: 'one', restBars: 1, click: { kind: 'every-beat' }, subdivision: 1 },
      ...{ cueBeats: 1, markChanges: true },
    },
  });
  const { students } = await machine.call('students.list', {});
  const at = isoTimeOf(machine.now());
  const own = students.find(({ id }) => id === 'self') ?? {
    ...{ id: 'self', name: 'Ada', since: at, assignments: [], comments: [] },
  };
  const id = machine.newId();
  const task: Assignment = {
    ...{ id: `task-${id}`, given: at, by: '', earlier: [] },
    chart: { id: chart.id, title: chart.title },
    unit: { ref: unit!.ref, key: unit!.key, name: unit!.name },
    terms: { rules, note: '' },
  };
  const comment = {
    id: `word-${id}`,
    at,
    by: 'Ada',
    text: 'How?',
    question: true as const,
  };
  // Now and then a task that is there is changed instead.
  const changed = own.assignments.length > 0 && random() < 0.5;
  const assignments = changed
    ? own.assignments.map((one, i) => (i === 0 ? { ...one, terms: { ...one.terms, rules } } : one))
    : [...own.assignments, task];
  if (!changed) done.tasks.add(task.id);
  done.comments.add(comment.id);
  await machine.done('students.save', {
    student: { ...own, assignments, comments: [...own.comments, comment] },
  });
}
