// Answers the calls about recordings that are kept here; loaded with the first of them.
import type { Result } from '../../../core/base/result.ts';
import { type HandlersOf, loadedLater } from '../../contract/handlers.ts';
import type { RecordingsAround, RecordingStore } from './recordings.ts';
import { LoadedOnce } from '../../../core/base/loaded-once.ts';

/** The one store of this data folder, opened when somebody first asks. */
export type OpenRecordings = () => Promise<RecordingStore>;

/** Loads and opens the recordings when they are first asked for; after a failure the next question tries again. */
export function recordingsLater(around: RecordingsAround): OpenRecordings {
  const { get } = new LoadedOnce(async () => {
    const { RecordingStore } = await import('./recordings.ts');
    return new RecordingStore(around);
  });
  return get;
}

/** @param takeOut takes what was given out of the shared folder */
export const recordingCalls = (
  open: OpenRecordings,
  takeOut: (id: string) => Result<null> | Promise<Result<null>>,
): HandlersOf<'recordings'> =>
  loadedLater('recordings', async () => {
    const store = await open();
    return {
      'recordings.list': () => store.list(),
      'recordings.begin': ({ about, kind }) => store.begin(about, kind),
      'recordings.add': ({ id, ...part }) => store.add(id, part),
      'recordings.end': ({ id, ...ended }) => store.end(id, ended),
      'recordings.open': ({ id }) => store.open(id),
      'recordings.part': ({ id, from }) => store.part(id, from),
      'recordings.remark': ({ id, remark }) => store.remark(id, remark),
      // What was given stays here as long as it cannot be taken back.
      'recordings.remove': async ({ id }) => {
        const out = await takeOut(id);
        return out.ok ? store.remove(id) : out;
      },
    };
  });
