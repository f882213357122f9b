// The ear's own thread: gets sound and questions, answers with what was heard. Nothing is kept or sent anywhere.
import { type Network, readNetwork } from '../../../app/core/ear/network/network.ts';
import { judgeTake } from '../../../app/core/ear/judge-take.ts';
import { readTake } from '../../../app/core/ear/take.ts';
import { ok, type Result } from '../../../app/core/base/result.ts';
import type { TakeJudged } from '../../../app/core/ear/judge-take.ts';
import { Listening } from './listening.ts';
import type { AnalysisAnswer, AnalysisRequest, AskedFile } from './takes.ts';

const answer = (message: AnalysisAnswer): void => self.postMessage(message);
/** The trained weights come as a file of their own; whatever is asked meanwhile waits for them, in order. */
const network: Promise<Network> = fetch(new URL('../../../assets/ear/network.bin', import.meta.url))
  .then((response) => response.arrayBuffer())
  .then((bytes) => readNetwork(new Uint8Array(bytes)));
let listening: Listening | undefined;

self.onmessage = ({ data }: MessageEvent<AnalysisRequest>) =>
  void network.then((ready) => handle(data, ready)).catch(reportError);

function handle(data: AnalysisRequest, ready: Network): void {
  switch (data.kind) {
    case 'rate':
      listening = new Listening(data.rate, ready, (take) => answer({ kind: 'take', take }));
      return;
    case 'take':
      return listening?.take(data.take);
    case 'drop':
      return listening?.drop(data.id);
    case 'block':
      return listening?.block(data.frame, data.samples);
    case 'file':
      return answer({ kind: 'file', judged: judged(data.file, ready) });
  }
}

function judged({ bytes, name, unit, ...settings }: AskedFile, ready: Network): Result<TakeJudged> {
  const take = readTake(bytes, name);
  return take.ok ? ok(judgeTake(take.value, unit, { ...settings, network: ready })) : take;
}
