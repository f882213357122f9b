// What the view may ask of the machine. Names, types and checks of both sides derive from this one table: a new
// call is one entry here and one function in `machine/`.
import { z } from 'zod';
import { MAX_IMPORT_LENGTH } from '../../core/model/limits.ts';
import type { Chart } from '../../core/model/chart.ts';
import type { LadderRules } from '../../core/ladder/model.ts';
import { OWN_DESK, type Student } from '../../core/progress/assignment.ts';
import type { LogEntry, PassRecord, PlayedUnit, WordOnPass } from '../../core/model/pass.ts';
import type { Problem, Result } from '../../core/base/result.ts';
import type { LapOptions } from '../../core/timeline/model.ts';
import type { IsoTime } from '../../core/base/units.ts';
import {
  archiveChoice,
  type ArchiveLook,
  type BroughtIn,
  chartCopy,
  type ChartCopy,
  dayOfDesk,
  type FilePart,
  filePart,
  type MissingHere,
  type SavedArchive,
  smallFile,
} from './archives.ts';
import type { PackedCourse } from '../../core/log/course.ts';
import type { Sitting } from '../../core/log/sittings.ts';
import type { ChangeTally } from '../../core/progress/changes.ts';
import type { LessonFacts } from '../../core/progress/lesson-facts.ts';
import type { UnitStanding } from '../../core/progress/standing.ts';
import type { LastTime } from '../../core/progress/moved.ts';
import {
  barsAsked,
  type BarsCount,
  type BestOfDay,
  countsAsked,
  courseAsked,
  type DayTally,
  desk,
  logFilter,
  passQuery,
  type Places,
  placesQuery,
  lessonQuery,
  sittingsAsked,
  standingsAsked,
  type UnitTally,
  worstAsked,
} from './log-queries.ts';
import {
  type KeptRecording,
  type OpenedSound,
  recordingEnd,
  recordingGift,
  recordingPart,
  type Recordings,
  recordingStart,
  recordingWords,
  type SharedRecording,
  soundPart,
} from './recordings.ts';
import type { EventName, ServiceEvents } from './events.ts';
import type { HostInfo, OpenedFile, PrintAnswer, StandingProblem } from './host.ts';
import { ladderRulesSchema, lapOptionsSchema, logEntrySchema, shortText } from './schemas.ts';
import {
  codeTyped,
  folderChoice,
  byHash,
  looksFirst,
  ofStudent,
  ownChoice,
  type OwnMachine,
  parcelSchema,
  passphraseChoice,
  type Posted,
  reportsChoice,
  serverChoice,
  stopChoice,
  type SharedState,
  type Travelled,
} from './shared.ts';
import { settingsPatchSchema } from './settings.ts';
import type { SettingsRead } from './settings.ts';

export type { DayTally, UnitTally } from './log-queries.ts';
export type { Settings, SettingsPatch, SettingsRead } from './settings.ts';

/** A call's input schema; its output type rides along in the type only. */
interface Call<In extends z.ZodType, Out> {
  readonly input: In;
  readonly output?: () => Out;
}

const answers = <Out>() => ({
  to: <In extends z.ZodType>(input: In): Call<In, Out> => ({ input }),
});

const nothing = z.strictObject({}).default({});
const byId = z.strictObject({ id: shortText });
const ofDesk = z.strictObject({ desk }).default({ desk: OWN_DESK });
/** Charts are checked by `core/chart/schema.ts` on the service side, with problems that name the place. */
const chartInput = z.custom<Chart>((value) => typeof value === 'object' && value !== null);

/** Typed by hand: the schema is loose (it keeps fields of later versions) and would ask for an index signature. */
const logEntries: z.ZodType<readonly LogEntry[], readonly LogEntry[]> = z
  .array(logEntrySchema as z.ZodType<LogEntry, LogEntry>)
  .min(1)
  .max(10_000);

export const calls = {
  'charts.list': answers<ChartLibrary>().to(nothing),
  'charts.open': answers<Result<Chart>>().to(byId),
  /** The text of its file, also where it has mistakes. */
  'charts.text': answers<Result<string>>().to(byId),
  /** Adds the chart or replaces the one with its id. */
  'charts.save': answers<Result<Chart>>().to(z.strictObject({ chart: chartInput })),
  /** Kept for `charts.restore`; its log stays whatever happens. */
  'charts.remove': answers<Result<null>>().to(byId),
  'charts.restore': answers<Result<Chart>>().to(byId),
  /** Text of a chart's file, or of an older one in JSON. Saved under a fresh id when its id is taken by another chart. */
  'charts.import': answers<Result<Chart>>().to(
    z.strictObject({ text: z.string().max(MAX_IMPORT_LENGTH) }),
  ),
  'ladders.list': answers<readonly SavedLadder[]>().to(nothing),
  'ladders.save': answers<Result<SavedLadder>>().to(
    z.strictObject({
      chart: shortText,
      unit: shortText,
      rules: ladderRulesSchema,
      options: lapOptionsSchema,
    }),
  ),
  /**
   * Resolves once the entries are on disk, or kept in memory with the standing problem that says why.
   * An entry that is there already changes nothing. `desk` is a student whose report is taken in.
   */
  'log.append': answers<AppendAnswer>().to(z.strictObject({ entries: logEntries, desk })),
  /** Settled passes in time order: of a unit, of bars, of a day, the last few. */
  'log.passes': answers<Passes>().to(passQuery),
  /** The same, or the passes of some bars and what a tempo rests on before them, in brief. */
  'log.course': answers<PackedCourse>().to(courseAsked),
  /** Sittings with one unit, earliest first. */
  'log.sittings': answers<readonly Sitting[]>().to(sittingsAsked),
  /** Which changes broke in these passes, most broken first. */
  'log.changes': answers<readonly ChangeTally[]>().to(passQuery),
  /** The change that broke most in the latest passes of each, in the order asked; null where none did. */
  'log.worst': answers<readonly (ChangeTally | null)[]>().to(worstAsked),
  /** How the passes of a chart went, by their bars. */
  'log.counts': answers<readonly BarsCount[]>().to(countsAsked),
  /** Every day on which a pass of these bars was clean, earliest first. */
  'log.bests': answers<readonly BestOfDay[]>().to(barsAsked),
  /** What moved on the last practice day; null where nothing was played yet. */
  'log.lastTime': answers<LastTime | null>().to(ofDesk),
  /** In the order asked. */
  'log.standings': answers<readonly UnitStanding[]>().to(standingsAsked),
  /** Every unit that was played, latest first, with its counts. */
  'log.units': answers<readonly UnitTally[]>().to(logFilter),
  /** Every day that was practised, earliest first, with its counts. */
  'log.days': answers<readonly DayTally[]>().to(logFilter),
  /** Where what is set stands, without the passes it rests on. */
  'log.places': answers<Places>().to(placesQuery),
  /** What the page before a lesson says of the log. */
  'log.lesson': answers<LessonFacts>().to(lessonQuery),
  /** The teacher's latest word on each pass that has one, those taken back included. */
  'log.words': answers<readonly WordOnPass[]>().to(ofDesk),
  /** Bars as they were when played; those that are not known are left out. */
  'log.bars': answers<readonly PlayedUnit[]>().to(
    z.strictObject({ fingerprints: z.array(shortText).max(10_000) }),
  ),
  /** The teacher's desk, and under the id {@link OWN_DESK} the player's own assignments. */
  'students.list': answers<Desk>().to(nothing),
  'students.save': answers<Result<Student>>().to(
    z.strictObject({ student: z.custom<Student>((value) => typeof value === 'object') }),
  ),
  'students.remove': answers<Result<null>>().to(byId),
  /** With the log, and everything that this teacher's machines keep or wrote of them. */
  'students.removeForGood': answers<Result<null>>().to(byId),
  'students.restore': answers<Result<Student>>().to(byId),
  /** Packs everything into one file, which `archives.part` then gives out. */
  'archives.save': answers<Result<SavedArchive>>().to(nothing),
  /** Empty at the end of the file. */
  'archives.part': answers<Result<FilePart>>().to(filePart.pick({ from: true })),
  /** A file that is to be brought in, from its beginning on. */
  'archives.give': answers<Result<null>>().to(filePart),
  /** What was given holds beside what is here; changes nothing. */
  'archives.look': answers<Result<ArchiveLook>>().to(nothing),
  'archives.bringIn': answers<Result<BroughtIn>>().to(archiveChoice),
  'archives.putAway': answers<null>().to(nothing),
  /** What was brought in last and can be undone. */
  'archives.last': answers<BroughtIn | null>().to(nothing),
  'archives.undo': answers<Result<{ readonly stayed: number }>>().to(nothing),
  /** Earlier texts of a chart, newest first. */
  'copies.ofChart': answers<readonly ChartCopy[]>().to(byId),
  'copies.text': answers<Result<string>>().to(chartCopy),
  'copies.bringChart': answers<Result<Chart>>().to(chartCopy),
  'copies.missing': answers<MissingHere>().to(nothing),
  /** The present file is set aside. */
  'copies.bringFile': answers<Result<null>>().to(smallFile),
  'copies.bringDay': answers<Result<BroughtIn>>().to(dayOfDesk),
  'recordings.list': answers<Recordings>().to(nothing),
  /** Makes its file, closed to others, before anything is heard. */
  'recordings.begin': answers<Result<KeptRecording>>().to(recordingStart),
  /** The next stretch of its sound; on disk when it is answered. */
  'recordings.add': answers<Result<null>>().to(recordingPart),
  'recordings.end': answers<Result<KeptRecording>>().to(recordingEnd),
  'recordings.open': answers<Result<OpenedSound>>().to(byId),
  /** Empty at the end of the sound. */
  'recordings.part': answers<Result<FilePart>>().to(soundPart),
  'recordings.remark': answers<Result<KeptRecording>>().to(recordingWords),
  /** For good; out of the shared folder first, where it was given there. */
  'recordings.remove': answers<Result<null>>().to(byId),
  /** What others put into the shared folder, and what this machine wrote there. */
  'shared.read': answers<SharedState>().to(nothing),
  /** Null leaves the shared folder; nothing in it is changed. */
  'shared.choose': answers<Result<null>>().to(folderChoice),
  /** Gives each student a folder in the shared one, or lets all share one. */
  'shared.parted': answers<Result<null>>().to(z.strictObject({ apart: z.boolean() })),
  'shared.post': answers<Result<Posted>>().to(parcelSchema),
  /** What waits here to be put into the shared folder does not go. */
  'shared.keepBack': answers<null>().to(byId),
  'shared.open': answers<Result<string>>().to(byHash),
  /** It is not offered again. */
  'shared.taken': answers<null>().to(byHash),
  /** Shares through a folder on a server; asks it first, and keeps nothing where it refuses. */
  'shared.connect': answers<Result<null>>().to(serverChoice),
  /** Locks what is shared with a passphrase, or opens what others locked. */
  'shared.lock': answers<Result<null>>().to(passphraseChoice),
  /** Changes the passphrase that is known here; everybody else has to write the new one. */
  'shared.relock': answers<Result<null>>().to(passphraseChoice),
  /** Ends sharing. */
  'shared.stop': answers<Result<null>>().to(stopChoice),
  /** Carries what waits now; resolves when that is over. */
  'shared.meet': answers<null>().to(nothing),
  /** Empties what this machine wrote of a student. */
  'shared.forget': answers<Result<{ readonly emptied: number }>>().to(ofStudent),
  /** This machine as one of the player's own. */
  'shared.own': answers<Result<null>>().to(ownChoice),
  /** What joining machines of this code would bring together; refused where none of them has written yet. */
  'shared.lookOwn': answers<Result<readonly OwnMachine[]>>().to(codeTyped),
  /** Practice reports go by themselves from now on, or no more. */
  'shared.reports': answers<Result<null>>().to(reportsChoice),
  /** Are reports of known students to be looked at before they are taken in? */
  'shared.looksFirst': answers<null>().to(looksFirst),
  /** Hands on what is new here, and takes in what came. */
  'shared.sync': answers<Travelled>().to(nothing),
  /** Recordings in the shared folder: of students, of the player's other machines, and those given from here. */
  'shared.recordings': answers<readonly SharedRecording[]>().to(nothing),
  /** Puts a copy of a recording into the shared folder. */
  'shared.giveRecording': answers<Result<null>>().to(recordingGift),
  /** Takes it out again; the numbers of the files stay. */
  'shared.takeBack': answers<Result<null>>().to(byId),
  'shared.openRecording': answers<Result<OpenedSound>>().to(byId),
  'shared.recordingPart': answers<Result<FilePart>>().to(soundPart),
  'settings.read': answers<SettingsRead>().to(nothing),
  'settings.write': answers<SettingsRead>().to(z.strictObject({ patch: settingsPatchSchema })),
  'host.info': answers<HostInfo>().to(nothing),
  /** Goes into the log of troubles in the data folder. */
  'host.report': answers<null>().to(
    z.object({
      where: z.string().max(100),
      name: z.string().max(100),
      message: z.string().max(10_000),
      stack: z.string().max(20_000),
    }),
  ),
  /** What stands in that log; '' where nothing went wrong yet. */
  'host.troubles': answers<{ readonly text: string }>().to(nothing),
  /** Shows the data folder in the system's own window for files. */
  'host.openFolder': answers<{ readonly opened: boolean }>().to(nothing),
  /** While climbing the display stays awake and the window is never throttled; in a long pause no more. */
  'host.climbing': answers<null>().to(
    z.strictObject({ on: z.boolean(), paused: z.boolean().default(false) }),
  ),
  /** Files the system handed to the program, once each: asked at the start and whenever the event `files` comes. */
  'host.takeFiles': answers<readonly OpenedFile[]>().to(nothing),
  'host.printPdf': answers<PrintAnswer>().to(
    z.strictObject({ title: shortText, paper: z.enum(['A4', 'Letter']) }),
  ),
} as const satisfies Readonly<Record<string, Call<z.ZodType, unknown>>>;

export type CallName = keyof typeof calls;
export type CallInput<N extends CallName> = z.input<(typeof calls)[N]['input']>;
/** What the service side works with, after the schema has filled in defaults. */
export type ParsedInput<N extends CallName> = z.output<(typeof calls)[N]['input']>;
export type CallOutput<N extends CallName> = ReturnType<NonNullable<(typeof calls)[N]['output']>>;

/** A chart in the list; it is opened by its id. */
export interface ListedChart {
  readonly id: string;
  readonly title: string;
  /** As the head of its file says; absent where that cannot be read at a glance. */
  readonly tempo?: Chart['tempo'];
  readonly meter?: Chart['meter'];
  readonly swung?: boolean;
  readonly sections?: number;
  /** Id of the chart of which this is another version, made by a syncing program or by hand. */
  readonly copyOf?: string;
  /** Its text has a mistake: it opens as text only. */
  readonly flawed?: true;
  /** What stands under this name cannot be read at all: a folder, a file that is closed. */
  readonly unreadable?: true;
}

export interface ChartLibrary {
  readonly charts: readonly ListedChart[];
  /** Removed charts that can be brought back, newest first. */
  readonly removed: readonly {
    readonly id: string;
    readonly title: string;
    readonly at: IsoTime;
  }[];
  readonly problems: readonly Problem[];
}

export interface Desk {
  readonly students: readonly Student[];
  /** Removed students that can be brought back, newest first; their logs stay. */
  readonly removed: readonly { readonly id: string; readonly name: string; readonly at: IsoTime }[];
}

/** The ladder last used for a unit of a chart, with the choices of its laps. */
export interface SavedLadder {
  readonly chart: string;
  readonly unit: string;
  readonly rules: LadderRules;
  readonly options: LapOptions;
}

export interface AppendAnswer {
  /** Entries of this call that are on disk. */
  readonly stored: number;
  /** Entries of this and earlier calls that wait in memory until they can be written. */
  readonly pending: number;
  readonly problem?: StandingProblem;
}

/** What the log answers. */
export interface Passes {
  /** In order of time, amendments applied. */
  readonly passes: readonly PassRecord[];
  readonly problems: readonly Problem[];
}

/** What every transport offers the view. */
export interface Services {
  /** @throws ServiceError when the input is refused or the machine side cannot be reached. */
  call<N extends CallName>(name: N, input: CallInput<N>): Promise<CallOutput<N>>;
  /** Returns the function that stops listening. */
  on<E extends EventName>(event: E, listener: (detail: ServiceEvents[E]) => void): () => void;
}

/** What travels back over a transport. */
export type Envelope<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problems: readonly Problem[] };
