// The ear's own thread: gets sound and questions, answers with what was heard. Nothing is kept or sent anywhere.
import { judgeTake } from '../../../app/core/ear/judge-take.ts';
import { readTake } from '../../../app/core/ear/take.ts';
import { ok, type Result } from '../../../app/core/base/result.ts';
import type { TakeJudged } from '../../../app/core/ear/judge-take.ts';
import { Listening } from './listening.ts';
import type { AnalysisAnswer, AnalysisRequest, AskedFile } from './takes.ts';

const answer = (message: AnalysisAnswer): void => self.postMessage(message);
let listening: Listening | undefined;

self.onmessage = ({ data }: MessageEvent<AnalysisRequest>) => {
  switch (data.kind) {
    case 'rate':
      listening = new Listening(data.rate, (take) => answer({ kind: 'take', take }));
      return;
    case 'take':
      return listening?.take(data.take);
    case 'drop':
      return listening?.drop(data.id);
    case 'block':
      return listening?.block(data.frame, data.samples);
    case 'file':
      return answer({ kind: 'file', judged: judged(data.file) });
  }
};

function judged({ bytes, name, unit, ...settings }: AskedFile): Result<TakeJudged> {
  const take = readTake(bytes, name);
  return take.ok ? ok(judgeTake(take.value, unit, settings)) : take;
}
