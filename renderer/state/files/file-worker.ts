// Makes and opens files on a thread of its own, so that the page never stands still. One job, then it is ended.
import { writeMxl } from '../../../app/core/exchange/musicxml/write/mxl.ts';
import { writeMusicXml } from '../../../app/core/exchange/musicxml/write/write.ts';
import { openScore } from '../../../app/core/exchange/open/open-file.ts';
import { practiceTrack } from '../../../app/core/exchange/practice-track.ts';
import { writeSmf } from '../../../app/core/exchange/midi/write.ts';
import { writeWav } from '../../../app/core/exchange/wave/write.ts';
import { ok } from '../../../app/core/base/result.ts';
import type { FileJob, FromWorker } from './jobs.ts';

type Answer = Extract<FromWorker, { kind: 'answer' }>['result'];

const tell = (message: FromWorker, transfer: Transferable[] = []): void =>
  self.postMessage(message, { transfer });

self.addEventListener('message', ({ data }: MessageEvent<FileJob>) =>
  tell({ kind: 'answer', result: carryOut(data) }),
);

function carryOut(job: FileJob): Answer {
  switch (job.kind) {
    case 'wav':
      return wav(job);
    case 'midi':
      return midi(job);
    case 'score':
      return writeMusicXml(job.chart);
    case 'mxl':
      return mxl(job);
    case 'read-score':
      return openScore(job.bytes, TextDecoder);
  }
}

function mxl({ chart }: Extract<FileJob, { kind: 'mxl' }>): Answer {
  const score = writeMusicXml(chart);
  if (!score.ok) return score;
  const bytes = writeMxl(score.value);
  tell({ kind: 'piece', bytes, done: 1 }, [bytes.buffer]);
  return ok(null);
}

function wav(job: Extract<FileJob, { kind: 'wav' }>): Answer {
  const { unit, options, levels, sampleRate, kit } = job;
  const track = practiceTrack(unit, options);
  if (!track.ok) return track;
  for (const { bytes, done } of writeWav(track.value, levels, sampleRate, kit)) {
    tell({ kind: 'piece', bytes, done }, [bytes.buffer]);
  }
  return ok(null);
}

function midi({ unit, options, title }: Extract<FileJob, { kind: 'midi' }>): Answer {
  const track = practiceTrack(unit, options);
  if (!track.ok) return track;
  const bytes = Uint8Array.from(writeSmf(track.value, title));
  tell({ kind: 'piece', bytes, done: 1 }, [bytes.buffer]);
  return ok(null);
}
