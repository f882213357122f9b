// A program that logs passes and saves a chart and settings without end, and says each one that it was told is stored.
// The campaign kills it. Arguments: data folder, a name for this run.
import type { Envelope } from '../../../app/services/contract/contract.ts';
import {
  openTestServices,
  passEntry,
  sampleChart,
  sampleLadder,
} from '../../unit/services/samples.ts';

const [folder, run] = process.argv.slice(2);
const services = openTestServices(folder!);
const said = (word: string): unknown => process.stdout.write(`${word}\n`);

/** Bars a minute that name the step: they grow over all runs. */
const step = (n: number): number => 30 + ((Number(run) * 40 + n) % 300);

for (let n = 0; ; n++) {
  const logged = await services.handle('log.append', { entries: [passEntry(`pass-${run}-${n}`)] });
  if ((logged as Envelope<{ stored: number }> & { ok: true }).value.stored === 1)
    said(`pass-${run}-${n}`);
  const tempo = { bpm: step(n), beat: 'quarter' } as const;
  await services.handle('charts.save', { chart: sampleChart('k-1', { title: 'Song', tempo }) });
  said(`chart ${step(n)}`);
  await services.handle(
    'ladders.save',
    sampleLadder('k-1', 'form', { start: 20, target: step(n) }),
  );
  said(`ladder ${step(n)}`);
}
