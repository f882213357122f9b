// A folder with many recordings: how long its list takes, and one of them to be heard.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { noteFileOf, writeNote } from '../../../app/services/machine/recordings/recording-files.ts';
import { about, webm } from '../../support/recordings.ts';
import { openTestServices, viewOf } from '../../unit/services/samples.ts';
import { type BenchRow, quantile, timeRuns } from '../bench.ts';

const RECORDINGS = 2_000;

export const rows: BenchRow[] = [
  {
    name: 'recordings-2000',
    what: `the list of ${RECORDINGS} recordings, asked again as after each new one; peer: all their notes read and parsed once`,
    unit: 'ms',
    goal: { at: '<=', value: 100 },
    measure: () =>
      withFolder(async ({ view, folder }) => {
        const [first] = await timeRuns(1, () => view.call('recordings.list', {}), 0);
        const again = await timeRuns(10, () => view.call('recordings.list', {}), 0);
        const { all } = await view.call('recordings.list', {});
        const { id } = all[RECORDINGS / 2]!.note;
        const heard = await timeRuns(
          10,
          async () => {
            await view.call('recordings.open', { id });
            await view.call('recordings.part', { id, from: 0 });
          },
          0,
        );
        const peer = await timeRuns(
          5,
          () =>
            fs
              .readdirSync(folder)
              .filter((name) => name.endsWith('.json'))
              .map((name) => JSON.parse(fs.readFileSync(path.join(folder, name), 'utf8'))).length,
          0,
        );
        return {
          value: quantile(again, 0.95),
          peer: { name: 'notes read and parsed', value: quantile(peer, 0.5) },
          note: `95th of 10; ${all.length} listed, the first time ${first!.toFixed(0)} ms; one opened with its first part: ${quantile(heard, 0.95).toFixed(1)} ms`,
        };
      }),
  },
];

/** Each an invented sound of 2 kB with its note, a minute apart. */
async function withFolder<T>(
  use: (given: { readonly view: ReturnType<typeof viewOf>; readonly folder: string }) => Promise<T>,
): Promise<T> {
  const directory = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-bench-'));
  const folder = path.join(directory, 'recordings');
  fs.mkdirSync(folder);
  const sound = webm(2_000);
  for (let i = 0; i < RECORDINGS; i++) {
    const file = path.join(folder, `take ${i}.webm`);
    fs.writeFileSync(file, sound);
    const at = new Date(Date.UTC(2031, 0, 1, 0, i)).toISOString();
    writeNote(file, { ...about, id: `take-${i}`, at, seconds: 20, bytes: sound.length });
    if (!fs.existsSync(noteFileOf(file))) throw new Error('no note was written');
  }
  const host = openTestServices(directory);
  try {
    return await use({ view: viewOf(host), folder });
  } finally {
    host.close();
    fs.rmSync(directory, { recursive: true, force: true });
  }
}
