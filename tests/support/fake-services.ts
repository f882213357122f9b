// A machine side in memory, for tests of the view: same calls, same answers, nothing on disk.
import { readAnyChart } from '../../app/core/chart/notation/any-chart.ts';
import { writeChartText } from '../../app/core/chart/notation/chart-text.ts';
import type { Chart } from '../../app/core/model/chart.ts';
import type { LogEntry } from '../../app/core/model/pass.ts';
import type { Student } from '../../app/core/progress/assignment.ts';
import { OWN_DESK } from '../../app/core/progress/assignment.ts';
import type { Problem } from '../../app/core/base/result.ts';
import { fail, ok } from '../../app/core/base/result.ts';
import { calls } from '../../app/services/contract/contract.ts';
import type {
  CallInput,
  CallName,
  CallOutput,
  ParsedInput,
  SavedLadder,
  Services,
} from '../../app/services/contract/contract.ts';
import type { EventName, ServiceEvents } from '../../app/services/contract/events.ts';
import { answerLog } from '../../app/services/machine/log/answer-log.ts';
import { memoryLog } from '../../app/services/machine/log/memory-log.ts';
import { NOTHING_TRAVELLED } from '../../app/services/contract/shared.ts';
import { readSettings } from '../../app/services/contract/settings.ts';

export interface FakeServices extends Services {
  /** Every entry given to `log.append`, in order. */
  readonly logged: LogEntry[];
  /** Every call in order, for "was it called with …". */
  readonly calls: { readonly name: CallName; readonly input: unknown }[];
  emit<E extends EventName>(event: E, detail: ServiceEvents[E]): void;
}

type Answers = {
  [N in CallName]?: (input: ParsedInput<N>) => CallOutput<N> | Promise<CallOutput<N>>;
};

/** @param start.charts The library at the start. @param start.answers Replace single answers, e.g. a full disk. */
export function fakeServices(
  start: { readonly charts?: readonly Chart[]; readonly answers?: Answers } = {},
): FakeServices {
  const logged: LogEntry[] = [];
  const seen: FakeServices['calls'] = [];
  const listeners = new Map<EventName, Set<(detail: never) => void>>();
  const answers = { ...memoryAnswers(start.charts ?? [], logged), ...start.answers };
  return {
    logged,
    calls: seen,
    call: async <N extends CallName>(name: N, input: CallInput<N>) => {
      seen.push({ name, input });
      const answer = answers[name] as (parsed: unknown) => CallOutput<N> | Promise<CallOutput<N>>;
      const given = answer(calls[name].input.parse(input));
      // One that is ready is given at once, as tests of what follows count turns.
      return structuredClone(given instanceof Promise ? await given : given);
    },
    on: (event, listener) => {
      const set = listeners.get(event) ?? new Set();
      listeners.set(event, set.add(listener));
      return () => set.delete(listener);
    },
    emit: (event, detail) => listeners.get(event)?.forEach((listen) => listen(detail as never)),
  };
}

/** Documents in memory: saved, removed, brought back. */
function memoryShelf<T extends { readonly id: string }>(start: readonly T[]) {
  const items = new Map(start.map((item) => [item.id, item]));
  const bin = new Map<string, T>();
  return {
    all: () => [...items.values()],
    removed: () => [...bin.values()],
    save: (item: T) => {
      items.set(item.id, item);
      return ok(item);
    },
    forget: (id: string) => {
      items.delete(id);
      bin.delete(id);
      return ok(null);
    },
    remove: (id: string) => {
      const item = items.get(id);
      if (!item) return fail(notThere(id));
      items.delete(id);
      bin.set(id, item);
      return ok(null);
    },
    restore: (id: string) => {
      const item = bin.get(id);
      if (!item) return fail(notThere(id));
      bin.delete(id);
      items.set(id, item);
      return ok(item);
    },
  };
}

const notThere = (id: string): Problem => ({
  code: 'not-there',
  message: `There is nothing by the id ‘${id}’.`,
  cure: 'Choose one from the list.',
});

const memoryAnswers = (charts: readonly Chart[], logged: LogEntry[]): Required<Answers> => ({
  ...libraryAnswers(charts),
  ...recordAnswers(logged),
  ...archiveAnswers(),
  ...recordingAnswers(),
  'shared.read': () => ({ writers: [], waiting: [], written: [] }),
  'shared.choose': () => ok(null),
  'shared.parted': () => ok(null),
  'shared.connect': () => ok(null),
  'shared.lock': () => ok(null),
  'shared.relock': () => ok(null),
  'shared.stop': () => ok(null),
  'shared.meet': () => null,
  'shared.post': () => ok('there'),
  'shared.keepBack': () => null,
  'shared.open': ({ id }) => fail(notThere(id)),
  'shared.taken': () => null,
  'shared.own': () => ok(null),
  'shared.lookOwn': () => ok([]),
  'shared.reports': () => ok(null),
  'shared.looksFirst': () => null,
  'shared.sync': () => NOTHING_TRAVELLED,
  'shared.forget': () => ok({ emptied: 0 }),
  'host.troubles': () => ({ text: '' }),
  'host.info': () => ({ kind: 'browser', version: '0', dataDirectory: '/fake', problems: [] }),
  'host.climbing': () => null,
  'host.report': () => null,
  'host.openFolder': () => ({ opened: false }),
  'host.takeFiles': () => [],
  'host.printPdf': () => ({ kind: 'use-browser-print' }),
});

/** What a test of the view needs of recordings it answers itself. */
function recordingAnswers(): Of<'recordings'> &
  Pick<Required<Answers>, `shared.${'recordings' | 'giveRecording' | 'takeBack'}`> &
  Pick<Required<Answers>, `shared.${'openRecording' | 'recordingPart'}`> {
  return {
    'recordings.list': () => ({ all: [], problems: [] }),
    'recordings.begin': () => fail(notThere('recording')),
    'recordings.add': ({ id }) => fail(notThere(id)),
    'recordings.end': ({ id }) => fail(notThere(id)),
    'recordings.open': ({ id }) => fail(notThere(id)),
    'recordings.part': ({ id }) => fail(notThere(id)),
    'recordings.remark': ({ id }) => fail(notThere(id)),
    'recordings.remove': ({ id }) => fail(notThere(id)),
    'shared.recordings': () => [],
    'shared.giveRecording': ({ id }) => fail(notThere(id)),
    'shared.takeBack': () => ok(null),
    'shared.openRecording': ({ id }) => fail(notThere(id)),
    'shared.recordingPart': ({ id }) => fail(notThere(id)),
  };
}

type Of<Room extends string> = Required<Pick<Answers, Extract<CallName, `${Room}.${string}`>>>;

function libraryAnswers(start: readonly Chart[]): Of<'charts' | 'students'> {
  const charts = memoryShelf(start);
  const students = memoryShelf<Student>([]);
  return {
    'charts.list': () => ({
      charts: charts.all().map(({ id, title }) => ({ id, title })),
      removed: charts.removed().map(({ id, title }) => ({ id, title, at: FAKE_TIME })),
      problems: [],
    }),
    'charts.open': ({ id }) => {
      const chart = charts.all().find((one) => one.id === id);
      return chart ? ok(chart) : fail(notThere(id));
    },
    'charts.text': ({ id }) => {
      const chart = charts.all().find((one) => one.id === id);
      return chart ? ok(writeChartText(chart)) : fail(notThere(id));
    },
    'charts.save': ({ chart }) => charts.save(chart),
    'charts.remove': ({ id }) => charts.remove(id),
    'charts.restore': ({ id }) => charts.restore(id),
    'charts.import': ({ text }) => {
      const read = readAnyChart(text, 'imported');
      return read.ok ? charts.save(read.value) : read;
    },
    'students.list': () => ({
      students: students.all(),
      removed: students.removed().map(({ id, name }) => ({ id, name, at: FAKE_TIME })),
    }),
    'students.save': ({ student }) => students.save(student),
    'students.remove': ({ id }) => students.remove(id),
    'students.removeForGood': ({ id }) => students.forget(id),
    'students.restore': ({ id }) => students.restore(id),
  };
}

function recordAnswers(logged: LogEntry[]): Of<'ladders' | 'log' | 'settings'> {
  const ladders = new Map<string, SavedLadder>();
  const log = memoryLog();
  /** Tests put entries among those logged themselves; what is there already counts once. */
  const read = new Proxy(log.read, {
    get: (reader, question) => {
      if (logged.length > 0) log.write(OWN_DESK, logged);
      return Reflect.get(reader, question) as unknown;
    },
  });
  let settings: Record<string, unknown> = {};
  return {
    'ladders.list': () => [...ladders.values()],
    'ladders.save': (ladder) => {
      ladders.set(`${ladder.chart} ${ladder.unit}`, ladder);
      return ok(ladder);
    },
    'log.append': ({ entries, desk }) => {
      if (desk === OWN_DESK) logged.push(...entries);
      else log.write(desk, entries);
      return { stored: entries.length, pending: 0 };
    },
    'log.passes': (query) => ({ passes: read.passes(query).passes, problems: [] }),
    ...answerLog(read),
    'settings.read': () => readSettings(settings),
    'settings.write': ({ patch }) => readSettings((settings = { ...settings, ...patch })),
  };
}

/** Nothing was copied and nothing is brought in. */
function archiveAnswers(): Of<'archives' | 'copies'> {
  return {
    'archives.save': () => ok({ name: 'Rungwise.zip', bytes: 0, problems: [] }),
    'archives.part': ({ from }) => ok({ from, base64: '' }),
    'archives.give': () => ok(null),
    'archives.look': () => fail(notThere('archive')),
    'archives.bringIn': () => fail(notThere('archive')),
    'archives.putAway': () => null,
    'archives.last': () => null,
    'archives.undo': () => fail(notThere('archive')),
    'copies.ofChart': () => [],
    'copies.text': ({ id }) => fail(notThere(id)),
    'copies.bringChart': ({ id }) => fail(notThere(id)),
    'copies.missing': () => ({ charts: [], days: [], files: [] }),
    'copies.bringFile': () => ok(null),
    'copies.bringDay': ({ day }) => fail(notThere(day)),
  };
}

const FAKE_TIME = '2031-04-05T18:20:00.000+02:00';
