// The machine side of the contract: checks every call, answers it from the stores, tells the view what changes.
import path from 'node:path';
import { checked } from '../../core/base/checked.ts';
import { OWN_DESK, type Student } from '../../core/progress/assignment.ts';
import type { Problem, Result } from '../../core/base/result.ts';
import { inShort, ok } from '../../core/base/result.ts';
import { Archives } from './archive/archives.ts';
import { bringDay, bringFile, copiesOf, missingHere } from './archive/copies.ts';
import type { Keeping } from './archive/keeping.ts';
import { ChartFolder } from './charts/chart-folder.ts';
import { type DataFolder, takeFolder } from './store/data-folder.ts';
import type { CallName, CallOutput, Envelope, ParsedInput } from '../contract/contract.ts';
import { calls } from '../contract/contract.ts';
import type { Travelled } from '../contract/shared.ts';
import type { ServiceHost, ServicesOptions } from './host.ts';
import type { SettingsKeeper } from './keep-settings.ts';
import { keepSettings } from './keep-settings.ts';
import { ladderKind } from './store/ladders.ts';
import { LogKeeper } from './log/keep-log.ts';
import { takeOverCharts } from './old-form/take-over-charts.ts';
import { takeOverLogs } from './old-form/take-over.ts';
import { takeBack } from './rescue.ts';
import { readTroubles, writeTrouble } from './trouble-log.ts';
import { inPlainWords } from '../contract/schemas.ts';
import type { StandingProblems } from './store/standing-problems.ts';
import { standingProblems } from './store/standing-problems.ts';
import { SharedPlace } from './courier/shared-place.ts';
import { openKeptWrites } from './travel/own/kept-writes.ts';
import { Travel } from './travel/travel.ts';
import { studentKind } from './store/students.ts';
import type { Documents } from './store/documents.ts';
import { openDocuments } from './store/documents.ts';
import { inWords } from './store/durable.ts';
import { openSettingsStore } from './store/settings-store.ts';

/** Waiting entries and settings are tried again, and the folder looked for, this often. */
const RETRY_MS = 5_000;
/** The log is copied once a day; soon after a start, so that the first climb is not disturbed, and looked at each hour. */
const FIRST_BACKUP_MS = 60_000;
const BACKUP_MS = 3_600_000;
/** Soon after a start, and then this often, what is new goes through the shared folder. */
const FIRST_TRAVEL_MS = 3_000;
const TRAVEL_MS = 5 * 60_000;

type Handlers = {
  [N in CallName]: (input: ParsedInput<N>) => CallOutput<N> | Promise<CallOutput<N>>;
};

/** @throws FolderInUse when another program holds the data folder. */
export function openServices(options: ServicesOptions): ServiceHost {
  const { directory, now, newId } = options;
  const listeners = new Set<Parameters<ServiceHost['listen']>[0]>();
  const emit: ServiceHost['emit'] = (event, detail) =>
    listeners.forEach((listen) => listen(event, detail));
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
  const { place, travel } = openTravel(options, keeping, standing, emit);
  const stopTimers = startTimers(
    () => {
      settings.retry();
      log.retry();
    },
    () => void travel.sync(true),
    () => {
      void lookAfterLog(log, standing);
      void charts.lookThrough().then((found) => found && emit('charts', {}));
    },
  );
  const handlers: Handlers = {
    ...chartHandlers(charts),
    ...studentHandlers(stores.students),
    ...recordHandlers(stores, log, settings),
    ...archiveHandlers(keeping, emit),
    ...sharedHandlers(place, travel, stores.students),
    ...hostHandlers(options, standing),
  };
  return {
    handle: (name, input) => handle(handlers, name, input),
    listen: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    emit,
    log: () => log.store,
    close: () => {
      stopTimers();
      stopWatching();
      travel.close();
      place.close();
      settings.retry();
      const left = log.close();
      folder.release();
      return left;
    },
  };
}

/** Where things are shared, and what goes there by itself. */
function openTravel(
  { directory, now, newId, host: { vault } }: ServicesOptions,
  keeping: Keeping,
  standing: StandingProblems,
  emit: ServiceHost['emit'],
): { readonly place: SharedPlace; readonly travel: Travel } {
  const kept = keeping.folder.writable ? openKeptWrites(directory) : undefined;
  const place = new SharedPlace({
    ...{ directory, now, newId, vault, heads: kept?.heads },
    nameOf: (id) => keeping.students.get(id)?.name,
    raise: standing.raise,
    told: () => {
      emit('shared', {});
      void travel.sync(true);
    },
  });
  const came = (news: Travelled): void => emit('travelled', news);
  const travel = new Travel({ ...keeping, ...{ standing, place, kept, came } });
  return { place, travel };
}

/** Returns the function that ends them. */
function startTimers(retry: () => void, travel: () => void, backUp: () => void): () => void {
  const timers = [
    setInterval(retry, RETRY_MS),
    setTimeout(travel, FIRST_TRAVEL_MS),
    setInterval(travel, TRAVEL_MS),
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

type ChartCalls = Extract<CallName, `charts.${string}`>;

const chartHandlers = (charts: ChartFolder): Pick<Handlers, ChartCalls> => ({
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
): Pick<Handlers, Extract<CallName, `students.${string}`>> => ({
  'students.list': () => ({
    students: students.list(),
    removed: students
      .removed()
      .map(({ at, document }) => ({ id: document.id, name: document.name, at })),
    problems: students.problems,
  }),
  'students.save': ({ student }) => students.save(student),
  'students.remove': ({ id }) => students.remove(id),
  'students.restore': ({ id }) => students.restore(id),
});

const recordHandlers = (
  stores: Stores,
  log: LogKeeper,
  settings: SettingsKeeper,
): Pick<Handlers, Extract<CallName, `${'ladders' | 'log' | 'settings'}.${string}`>> => ({
  'ladders.list': () => stores.ladders.list(),
  'ladders.save': (ladder) => stores.ladders.save(ladder),
  'log.append': ({ entries, desk }) => log.append(desk, entries),
  'log.passes': (query) => log.passes(query),
  'log.units': (filter) => log.units(filter),
  'log.days': (filter) => log.days(filter),
  'log.bars': ({ fingerprints }) => log.bars(fingerprints),
  'settings.read': () => stores.settings.read(),
  'settings.write': ({ patch }) => settings.write(patch),
});

const archiveHandlers = (
  keeping: Keeping,
  emit: ServiceHost['emit'],
): Pick<Handlers, Extract<CallName, `${'archives' | 'copies'}.${string}`>> => {
  const archives = new Archives(keeping);
  const told = <T>(result: Result<T>): Result<T> => {
    emit('charts', {});
    return result;
  };
  return {
    'archives.save': archives.save,
    'archives.part': ({ from }) => archives.part(from),
    'archives.give': (part) => archives.give(part),
    'archives.look': () => archives.look(),
    'archives.bringIn': async (choice) => told(await archives.bringIn(choice)),
    'archives.putAway': () => archives.putAway(),
    'archives.last': () => archives.last(),
    'archives.undo': () => told(archives.undo()),
    'copies.ofChart': ({ id }) => copiesOf(id, keeping),
    'copies.text': ({ id, at }) => keeping.charts.versionText(id, at),
    'copies.bringChart': ({ id, at }) => told(keeping.charts.bringBack(id, at)),
    'copies.missing': () => missingHere(keeping),
    'copies.bringFile': ({ name }) => bringFile(name, keeping),
    'copies.bringDay': (asked) => bringDay(asked, keeping),
  };
};

const studentsOf = (students: Documents<Student>): readonly Student[] =>
  students.list().filter(({ id }) => id !== OWN_DESK);

const done = (result: Result<unknown>): Result<null> => (result.ok ? ok(null) : result);

const sharedHandlers = (
  place: SharedPlace,
  travel: Travel,
  students: Documents<Student>,
): Pick<Handlers, Extract<CallName, `shared.${string}`>> => {
  const { folder } = place;
  return {
    'shared.read': () => travel.state(),
    'shared.choose': (choice) => place.choose(choice.folder ?? undefined),
    'shared.connect': (choice) => place.connect(choice),
    'shared.lock': ({ passphrase }) => place.lock(passphrase),
    'shared.meet': async () => {
      await place.meet();
      return null;
    },
    'shared.parted': ({ apart }) =>
      folder.parted(apart ? studentsOf(students).map(({ id }) => id) : undefined),
    'shared.post': (parcel) => done(folder.post(parcel)),
    'shared.open': ({ id }) => folder.open(id),
    'shared.taken': ({ id }) => {
      folder.taken(id);
      return null;
    },
    'shared.forget': ({ student }) => place.forget(student),
    'shared.own': (choice) => travel.own(choice),
    'shared.lookOwn': ({ code }) => travel.look(code),
    'shared.reports': ({ to }) => travel.reportsTo(to),
    'shared.looksFirst': ({ on }) => {
      folder.memory.keep({ looksFirst: on ? true : undefined });
      return null;
    },
    'shared.sync': () => travel.sync(),
  };
};

const hostHandlers = (
  { host, directory, now }: ServicesOptions,
  standing: StandingProblems,
): Pick<Handlers, Extract<CallName, `host.${string}`>> => ({
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
