// A machine side in memory, for tests of the view: same calls, same answers, nothing on disk.
import type { Chart } from '../core/chart/model.ts';
import type { LogEntry } from '../core/progress/record.ts';
import { ok } from '../core/result.ts';
import { calls } from './contract.ts';
import type {
  CallInput,
  CallName,
  CallOutput,
  EventName,
  ParsedInput,
  SavedLadder,
  ServiceEvents,
  Services,
} from './contract.ts';
import { unpackHistory } from './history.ts';
import { packLog } from './packed-log.ts';
import { readSettings } from './settings.ts';

export interface FakeServices extends Services {
  /** Every entry given to `log.append`, in order. */
  readonly logged: LogEntry[];
  /** Every call in order, for "was it called with …". */
  readonly calls: { readonly name: CallName; readonly input: unknown }[];
  emit<E extends EventName>(event: E, detail: ServiceEvents[E]): void;
}

type Answers = { [N in CallName]?: (input: ParsedInput<N>) => CallOutput<N> };

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
      const answer = answers[name] as (parsed: unknown) => CallOutput<N>;
      return structuredClone(answer(calls[name].input.parse(input)));
    },
    on: (event, listener) => {
      const set = listeners.get(event) ?? new Set();
      listeners.set(event, set.add(listener));
      return () => set.delete(listener);
    },
    emit: (event, detail) => listeners.get(event)?.forEach((listen) => listen(detail as never)),
  };
}

function memoryAnswers(charts: readonly Chart[], logged: LogEntry[]): Required<Answers> {
  const removed = new Map<string, Chart>();
  const library = new Map(charts.map((chart) => [chart.id, chart]));
  const ladders = new Map<string, SavedLadder>();
  let settings: Record<string, unknown> = {};
  const move = (from: Map<string, Chart>, to: Map<string, Chart>, id: string): Chart => {
    const chart = from.get(id);
    if (!chart) throw new Error(`the fake has no chart ‘${id}’`);
    from.delete(id);
    to.set(id, chart);
    return chart;
  };
  return {
    'charts.list': () => ({
      charts: [...library.values()],
      removed: [...removed.values()].map(({ id, title }) => ({ id, title, at: FAKE_TIME })),
      problems: [],
    }),
    'charts.save': ({ chart }) => {
      library.set(chart.id, chart);
      return ok(chart);
    },
    'charts.remove': ({ id }) => {
      move(library, removed, id);
      return ok(null);
    },
    'charts.restore': ({ id }) => ok(move(removed, library, id)),
    'charts.import': ({ text }) => {
      const chart = (JSON.parse(text) as { chart: Chart }).chart;
      library.set(chart.id, chart);
      return ok(chart);
    },
    'ladders.list': () => [...ladders.values()],
    'ladders.save': (ladder) => {
      ladders.set(`${ladder.chart} ${ladder.unit}`, ladder);
      return ok(ladder);
    },
    'log.append': ({ entries }) => {
      logged.push(...entries);
      return { stored: entries.length, pending: 0 };
    },
    'log.history': (range) => unpackHistory({ parts: [packLog(logged)], problems: [] }, range),
    'settings.read': () => readSettings(settings),
    'settings.write': ({ patch }) => readSettings((settings = { ...settings, ...patch })),
    'host.info': () => ({ kind: 'browser', version: '0', dataDirectory: '/fake', problems: [] }),
    'host.climbing': () => null,
    'host.printPdf': () => ({ kind: 'use-browser-print' }),
    'host.openExternal': () => ({ opened: false }),
  };
}

const FAKE_TIME = '2031-04-05T18:20:00.000+02:00';
