// Recordings for tests: invented sound files, put in and fetched as the view does.
import { type Result, unwrap } from '../../app/core/base/result.ts';
import type { SoundKind } from '../../app/core/exchange/recording.ts';
import type { FilePart } from '../../app/services/contract/archives.ts';
import type { CallName, Services } from '../../app/services/contract/contract.ts';
import type { KeptRecording } from '../../app/services/contract/recordings.ts';

export const about = {
  chart: { id: 'k-1', title: 'Harbour Lights' },
  unit: { key: 'form', name: 'The whole song' },
  tempo: { bpm: 92, beat: 'quarter' },
  climb: 'c-1',
} as const;

/** Begins as WebM does (RFC 8794); the rest is no sound, but every byte is its own. */
export function webm(bytes: number): Buffer {
  const sound = Buffer.from(Array.from({ length: bytes }, (_, i) => (i * 31 + (i >> 8)) % 256));
  sound.set([0x1a, 0x45, 0xdf, 0xa3]);
  return sound;
}

export const stretch = (id: string, sound: Buffer, from = 0, to = sound.length) => ({
  ...{ id, from },
  base64: sound.subarray(from, to).toString('base64'),
});

export async function record(
  { call }: Pick<Services, 'call'>,
  sound: Buffer,
  kind: SoundKind = 'webm',
): Promise<KeptRecording> {
  const { note } = unwrap(await call('recordings.begin', { about, kind }));
  unwrap(await call('recordings.add', stretch(note.id, sound)));
  return unwrap(await call('recordings.end', { id: note.id, seconds: 12 }));
}

type Parts = Extract<CallName, 'recordings.part' | 'shared.recordingPart'>;

/** All of it, part by part. */
export async function soundOf(
  { call }: Pick<Services, 'call'>,
  id: string,
  by: Parts = 'recordings.part',
): Promise<Buffer> {
  const parts: Buffer[] = [];
  for (let from = 0; ; from += parts.at(-1)!.length) {
    const part: FilePart = unwrap((await call(by, { id, from })) as Result<FilePart>);
    if (part.base64 === '') return Buffer.concat(parts);
    parts.push(Buffer.from(part.base64, 'base64'));
  }
}
