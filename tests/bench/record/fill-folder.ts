// Fills a data folder for the row of the host's memory: `FOLDER CHARTS PASSES`.
import type { LogEntry } from '../../../app/core/model/pass.ts';
import { openTestServices, passEntry } from '../../unit/services/samples.ts';
import { fillCharts } from '../rows/library.ts';

const [folder, charts, passes] = process.argv.slice(2);
fill(folder!, Number(charts), Number(passes));

function fill(to: string, chartCount: number, passCount: number): void {
  fillCharts(to, chartCount);
  const host = openTestServices(to);
  const log = host.log()!;
  for (let from = 0; from < passCount; from += 2000) {
    log.write(
      'self',
      Array.from({ length: Math.min(2000, passCount - from) }, (_, i) => entry(from + i)),
    );
  }
  host.close();
}

/** Sixty passes a sitting, twelve a unit, the first of them cold, over ten years. */
function entry(n: number): LogEntry {
  const unit = Math.floor(n / 12) % 40;
  return passEntry(`p${n}`, {
    at: new Date(1.6e12 + n * 1.5e6).toISOString(),
    session: `s${Math.floor(n / 60)}`,
    climb: `c${Math.floor(n / 12)}`,
    unit: { key: `section:${unit}`, name: `Section ${unit}`, fingerprint: `f-${unit}` },
    cold: n % 12 === 0,
  });
}
