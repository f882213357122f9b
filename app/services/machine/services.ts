// The machine side of the contract: checks every call, answers it from the stores, tells the view what changes.
import path from 'node:path';
import { checked } from '../../core/base/checked.ts';
import type { Student } from '../../core/progress/assignment.ts';
import { writable } from '../../core/base/iso-time.ts';
import type { Problem } from '../../core/base/result.ts';
import { inShort } from '../../core/base/result.ts';
import type { Keeping } from './archive/keeping.ts';
import { ChartFolder } from './charts/chart-folder.ts';
import { type DataFolder, takeFolder } from './store/data-folder.ts';
import type { CallName, Envelope } from '../contract/contract.ts';
import { calls } from '../contract/contract.ts';
import { type Emit, type Handlers, type HandlersOf, loadedLater } from '../contract/handlers.ts';
import type { ServiceHost, ServicesOptions } from './host.ts';
import type { SettingsKeeper } from './keep-settings.ts';
import { keepSettings } from './keep-settings.ts';
import { ladderKind } from './store/ladders.ts';
import { answerLog } from './log/answer-log.ts';
import { LogKeeper } from './log/keep-log.ts';
import { People } from './people/people.ts';
import { takeOverCharts } from './old-form/take-over-charts.ts';
import { takeOverLogs } from './old-form/take-over.ts';
import { takeBack } from './rescue.ts';
import { recordingCalls, recordingsLater } from './recordings/recording-calls.ts';
import { readTroubles, writeTrouble } from './trouble-log.ts';
import { inPlainWords } from '../contract/schemas.ts';
import type { StandingProblems } from './store/standing-problems.ts';
import { standingProblems } from './store/standing-problems.ts';
import { SharingDoor } from './sharing.ts';
import { studentKind } from './store/students.ts';
import type { Documents } from './store/documents.ts';
import { openDocuments } from './store/documents.ts';
import { inWords } from './store/durable.ts';
import { openSettingsStore } from './store/settings-store.ts';

/** Waiting entries and settings are tried again, and the folder looked for, this often. */
const RETRY_MS = 5_000;
/** Charts are looked through for mistakes soon after a start, when the first page is there. */
const FIRST_LOOK_MS = 2_000;
/** The log is copied once a day; soon after a start, so that the first climb is not disturbed, and looked at each hour. */
const FIRST_BACKUP_MS = 60_000;
const BACKUP_MS = 3_600_000;
/** Soon after a start, and then this often, what is new goes through the shared folder. */
const FIRST_TRAVEL_MS = 3_000;
const TRAVEL_MS = 5 * 60_000;

/** @throws FolderInUse when another program holds the data folder. */
export function openServices(given: ServicesOptions): ServiceHost {
  const options = { ...given, now: () => writable(given.now()) };
  const { directory, now, newId } = options;
  const { emit, listen } = announcer();
  const standing = standingProblems(now, (all) => emit('problems', all));
  const folder = takeFolder(directory);
  if (!folder.writable) standing.raise(unwritableFolder(directory));
  const log = new LogKeeper({ folder, standing, now, newId });
  if (log.store) takeOverLogs(log.store, { root: directory, now }).forEach(standing.raise);
  takeBack(directory, ({ desk, entries }) => log.append(desk, entries));
  const stores = openStores(options, folder, (problems) => problems.forEach(standing.raise));
  const charts = new ChartFolder({ folder, now, newId, demo: options.demoCharts });
  takeOverCharts(charts, { root: directory, now }).forEach(standing.raise);
  const stopWatching = charts.watch(() => emit('charts', {}));
  const settings = keepSettings(stores.settings, standing);
  const keeping = { ...stores, folder, charts, log, now, version: options.host.version };
  const people = new People(keeping);
  const recordings = recordingsLater({ folder, now, newId });
  const sharing = new SharingDoor({
    ...{ directory, now, newId, keeping, people, recordings, standing, emit },
    ...{ vault: options.host.vault, patience: options.patience, pace: options.pace },
  });
  const lookAtCharts = () => void charts.lookThrough(() => emit('charts', {}));
  const stopTimers = startTimers(
    () => [settings, log, sharing].forEach((waiting) => waiting.retry()),
    () => void sharing.syncQuietly(),
    () => {
      void lookAfterLog(log, standing);
      lookAtCharts();
    },
    lookAtCharts,
  );
  const handlers: Handlers = {
    ...chartHandlers(charts),
    ...studentHandlers(stores.students, people, () => void sharing.syncQuietly()),
    ...recordHandlers(stores, log, settings),
    ...archiveCalls(keeping, people, emit),
    ...recordingCalls(recordings, (id) => sharing.handlers['shared.takeBack']({ id })),
    ...sharing.handlers,
    ...hostHandlers(options, standing),
  };
  return {
    handle: (name, input) => handle(handlers, name, input),
    listen,
    emit,
    log: () => log.store,
    close: () => {
      stopTimers();
      stopWatching();
      sharing.close();
      settings.retry();
      const left = log.close();
      folder.release();
      return left;
    },
  };
}

/** Tells events to all who listen at the time. */
function announcer(): { readonly emit: Emit; readonly listen: ServiceHost['listen'] } {
  const listeners = new Set<Parameters<ServiceHost['listen']>[0]>();
  return {
    emit: (event, detail) => listeners.forEach((hear) => hear(event, detail)),
    listen: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

/** Returns the function that ends them. */
function startTimers(
  retry: () => void,
  travel: () => void,
  backUp: () => void,
  look: () => void,
): () => void {
  const timers = [
    setInterval(retry, RETRY_MS),
    setTimeout(travel, FIRST_TRAVEL_MS),
    setInterval(travel, TRAVEL_MS),
    setTimeout(look, FIRST_LOOK_MS),
    setTimeout(backUp, FIRST_BACKUP_MS),
    setInterval(backUp, BACKUP_MS),
  ];
  timers.forEach((timer) => timer.unref());
  return () => timers.forEach((timer) => clearInterval(timer));
}

async function lookAfterLog(log: LogKeeper, standing: StandingProblems): Promise<void> {
  try {
    await log.lookAfter();
    standing.clear(NO_BACKUP);
  } catch (error) {
    standing.raise({
      code: NO_BACKUP,
      message: `No copy of the log could be made: ${inWords(error)}.`,
      cure: 'Make room on the disk or allow writing to the data folder.',
    });
  }
}

const NO_BACKUP = 'no-backup-of-log';

const unwritableFolder = (directory: string): Problem => ({
  code: 'log-unwritable',
  message: `The data folder can't be written (${directory}). What you play now is kept in memory only.`,
  cure: 'Allow writing to that folder, or start with another one: --data DIR.',
});

type Stores = ReturnType<typeof openStores>;

function openStores(
  { directory, engine, now }: ServicesOptions,
  folder: DataFolder,
  report: (problems: readonly Problem[]) => void,
) {
  const keeping = { root: directory, now, folder };
  const at = (...parts: string[]): string => path.join(directory, ...parts);
  const stores = {
    settings: openSettingsStore(at('settings.json'), engine, keeping),
    ladders: openDocuments(at('ladders.json'), ladderKind, engine, keeping),
    students: openDocuments(at('students.json'), studentKind, engine, keeping),
  };
  for (const store of Object.values(stores)) report(store.problems);
  return stores;
}

/** Archives and copies are loaded when somebody asks for them. */
function archiveCalls(
  keeping: Keeping,
  people: People,
  emit: Emit,
): HandlersOf<'archives' | 'copies'> {
  let opened: Promise<HandlersOf<'archives' | 'copies'>> | undefined;
  const load = () =>
    (opened ??= import('./archive/archive-calls.ts').then(({ archiveHandlers }) =>
      archiveHandlers(keeping, emit, () => people.sweep()),
    ));
  return { ...loadedLater('archives', load), ...loadedLater('copies', load) };
}

const chartHandlers = (charts: ChartFolder): HandlersOf<'charts'> => ({
  'charts.list': () => charts.list(),
  'charts.open': ({ id }) => charts.open(id),
  'charts.text': ({ id }) => charts.text(id),
  'charts.save': ({ chart }) => charts.save(chart),
  'charts.remove': ({ id }) => charts.remove(id),
  'charts.restore': ({ id }) => charts.restore(id),
  'charts.import': ({ text }) => charts.import(text),
});

const studentHandlers = (
  students: Documents<Student>,
  people: People,
  share: () => void,
): HandlersOf<'students'> => ({
  'students.list': () => ({
    students: students.list(),
    removed: students
      .removed()
      .map(({ at, document }) => ({ id: document.id, name: document.name, at })),
  }),
  'students.save': ({ student }) => students.save(student),
  'students.remove': ({ id }) => people.takeOff(id),
  'students.removeForGood': ({ id }) => {
    const done = people.removeForGood(id);
    if (done.ok) share();
    return done;
  },
  'students.restore': ({ id }) => students.restore(id),
});

const recordHandlers = (
  stores: Stores,
  log: LogKeeper,
  settings: SettingsKeeper,
): HandlersOf<'ladders' | 'log' | 'settings'> => ({
  'ladders.list': () => stores.ladders.list(),
  'ladders.save': (ladder) => stores.ladders.save(ladder),
  'log.append': ({ entries, desk }) => log.append(desk, entries),
  'log.passes': (query) => log.passes(query),
  ...answerLog(log),
  'settings.read': () => stores.settings.read(),
  'settings.write': ({ patch }) => settings.write(patch),
});

const hostHandlers = (
  { host, directory, now }: ServicesOptions,
  standing: StandingProblems,
): HandlersOf<'host'> => ({
  'host.info': () => ({
    kind: host.kind,
    version: host.version,
    dataDirectory: directory,
    problems: standing.all(),
  }),
  'host.report': (trouble) => {
    writeTrouble(directory, trouble, now());
    return null;
  },
  'host.troubles': () => ({ text: readTroubles(directory) }),
  'host.openFolder': async () => ({ opened: await host.openFolder(directory) }),
  'host.climbing': (climb) => {
    host.climbing(climb);
    return null;
  },
  'host.takeFiles': () => host.takeFiles(),
  'host.printPdf': (input) => host.printPdf(input),
});

async function handle(
  handlers: Handlers,
  name: string,
  input: unknown,
): Promise<Envelope<unknown>> {
  if (!Object.hasOwn(calls, name)) return refused(unknownCall(name));
  const call = name as CallName;
  const parsed = checked(calls[call].input, input);
  if (!parsed.success) return refused(...inPlainWords(`The call ‘${name}’`, parsed.error));
  try {
    const answer = handlers[call] as (input: unknown) => unknown;
    return { ok: true, value: await answer(parsed.data) };
  } catch (error) {
    return refused(failed(name, error));
  }
}

const refused = (...problems: Problem[]): Envelope<never> => ({
  ok: false,
  problems: problems.map(inShort),
});

const unknownCall = (name: string): Problem => ({
  code: 'unknown-call',
  message: `There is no call ‘${name.slice(0, 80)}’.`,
  cure: 'The window and the program behind it may be of different versions; start Rungwise again.',
});

const failed = (name: string, error: unknown): Problem => ({
  code: 'call-failed',
  message: `‘${name}’ did not work: ${inWords(error)}.`,
  cure: 'Try again; if it stays, start Rungwise again. What was judged is kept.',
});
