// Everything that shares, put together: where it is shared, what goes there by itself, and the calls about both.
import { OWN_DESK, type Student } from '../../../core/progress/assignment.ts';
import { labelsOf } from '../../../core/progress/whose.ts';
import type { Result } from '../../../core/base/result.ts';
import type { Emit, HandlersOf } from '../../contract/handlers.ts';
import type { Travelled } from '../../contract/shared.ts';
import type { Keeping } from '../archive/keeping.ts';
import type { OpenVault } from '../courier/secrets.ts';
import { type CarrierPace, SharedPlace } from '../courier/shared-place.ts';
import type { People } from '../people/people.ts';
import type { OpenRecordings } from '../recordings/recording-calls.ts';
import type { Documents } from '../store/documents.ts';
import type { StandingProblems } from '../store/standing-problems.ts';
import { LOST } from '../shared/memory.ts';
import type { Patience } from '../shared/patience.ts';
import type { KeptHeads } from '../shared/shelf-reader.ts';
import { openKeptWrites } from './own/kept-writes.ts';
import { headsOfOthers } from './own/purge.ts';
import { GivenRecordings } from './given-recordings.ts';
import { Leaving } from './leaving.ts';
import { spoiltCode, Travel } from './travel.ts';

export interface SharingAround {
  /** The data folder. */
  readonly directory: string;
  readonly now: () => Date;
  readonly newId: () => string;
  readonly vault: OpenVault | undefined;
  readonly patience: Patience | undefined;
  readonly pace: CarrierPace | undefined;
  readonly keeping: Keeping;
  readonly people: People;
  readonly recordings: OpenRecordings;
  readonly standing: StandingProblems;
  readonly emit: Emit;
}

export interface Sharing {
  readonly handlers: HandlersOf<'shared'>;
  readonly sync: (quiet?: boolean) => Promise<Travelled>;
  /** Puts what waits here into a folder that is back. Never throws. */
  readonly retry: () => void;
  readonly close: () => void;
}

/** Opens what this machine shares: its folder, its own machines, what travels between them. */
export function openSharing(around: SharingAround): Sharing {
  const { directory, now, newId, vault, patience, pace, keeping, people } = around;
  const { recordings, standing, emit } = around;
  const heads: KeptHeads = headsOfOthers(
    {
      get: (key) => kept?.heads.get(key),
      set: (key, head) => kept?.heads.set(key, head),
    },
    people.isGone,
  );
  const place = new SharedPlace({
    ...{ directory, now, newId, vault, heads, ...pace },
    // Two of one name have folders that tell them apart as the list does.
    nameOf: (id) => labelsOf(studentsOf(keeping.students)).get(id),
    outbox: {
      put: (written, parcel, to) => {
        if (parcel) standing.clear(spoiltCode(parcel));
        kept?.posted.put(written, parcel, to);
      },
      drop: (student) => kept?.posted.drop(student),
      leave: (from) => kept?.posted.leave(from),
      clear: () => kept?.posted.clear(),
    },
    raise: standing.raise,
    told: () => {
      emit('shared', {});
      void travel.sync(true);
    },
  });
  // After the note of what is shared was looked for: this file without that note means that it was lost.
  const kept = keeping.folder.writable ? openKeptWrites(directory) : undefined;
  const came = (news: Travelled): void => emit('travelled', news);
  const { raise } = standing;
  const told = (): void => emit('shared', {});
  const leaving = new Leaving({ data: keeping.folder, now, place, raise, told });
  const { students } = keeping;
  const given = new GivenRecordings({ shared: place.folder, recordings, students, patience });
  const travel = new Travel({
    ...keeping,
    ...{ standing, place, leaving, given, kept, people, came, newId, patience },
  });
  return {
    handlers: {
      ...handlersOf({ place, travel, leaving, students, standing }),
      'shared.recordings': () => given.list(),
      'shared.giveRecording': ({ id, to }) => given.give(id, to),
      'shared.takeBack': ({ id }) => given.takeBack(id),
      'shared.openRecording': ({ id }) => given.open(id),
      'shared.recordingPart': ({ id, from }) => given.part(id, from),
    },
    sync: (quiet) => travel.sync(quiet),
    retry: () => leaving.retry(),
    close: () => {
      travel.close();
      place.close();
    },
  };
}

const studentsOf = (students: Documents<Student>): readonly Student[] =>
  students.list().filter(({ id }) => id !== OWN_DESK);

type Given = 'recordings' | 'giveRecording' | 'takeBack' | 'openRecording' | 'recordingPart';

interface Asked {
  readonly place: SharedPlace;
  readonly travel: Travel;
  readonly leaving: Leaving;
  readonly students: Documents<Student>;
  readonly standing: StandingProblems;
}

const handlersOf = (asked: Asked): Omit<HandlersOf<'shared'>, `shared.${Given}`> => {
  const { place, travel, leaving, students, standing } = asked;
  const { folder } = place;
  const chosen = (result: Result<null>): Result<null> => {
    if (result.ok) LOST.forEach(standing.clear);
    return result;
  };
  return {
    'shared.read': () => travel.state(),
    'shared.choose': (choice) => {
      const before = place.chosen;
      const done = chosen(place.choose(choice.folder ?? undefined));
      if (done.ok) leaving.chosenAfter(before);
      return done;
    },
    'shared.stop': (choice) => travel.stop(choice.takeOut),
    'shared.relock': ({ passphrase }) => place.relock(passphrase),
    'shared.connect': async (choice) => chosen(await place.connect(choice)),
    'shared.lock': ({ passphrase }) => place.lock(passphrase),
    'shared.meet': async () => {
      await place.meet();
      return null;
    },
    'shared.parted': ({ apart }) =>
      folder.parted(apart ? studentsOf(students).map(({ id }) => id) : undefined),
    'shared.post': (parcel) => leaving.post(parcel),
    'shared.keepBack': ({ id }) => {
      leaving.keepBack(id);
      return null;
    },
    'shared.open': ({ id }) => folder.open(id),
    'shared.taken': ({ id }) => {
      folder.taken(id);
      return null;
    },
    'shared.forget': ({ student }) => {
      leaving.forget((id) => id === student);
      return place.forget(student);
    },
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
