// A program that records without end, and says each stretch that it was told is kept. A test kills it. Argument: data folder.
import { unwrap } from '../../app/core/base/result.ts';
import { about, stretch, webm } from '../support/recordings.ts';
import { openTestServices, viewOf } from '../unit/services/samples.ts';

const { call } = viewOf(openTestServices(process.argv[2]!, { newId: () => crypto.randomUUID() }));
const { note } = unwrap(await call('recordings.begin', { about, kind: 'webm' }));
const sound = webm(1_000);
for (let from = 0; ; from += sound.length) {
  unwrap(await call('recordings.add', { ...stretch(note.id, sound), from }));
  process.stdout.write('kept\n');
}
