// A program that logs passes without end and says each one it was told is stored; the crash test kills it.
import { openTestServices, passEntry } from '../unit/services/samples.ts';

const services = openTestServices(process.argv[2]!);
for (let n = 0; ; n++) {
  const envelope = await services.handle('log.append', {
    entries: [passEntry(`pass-${process.argv[3]}-${n}`)],
  });
  const { stored } = (envelope as { value: { stored: number } }).value;
  if (stored === 1) process.stdout.write(`pass-${process.argv[3]}-${n}\n`);
}
