// Fills a data folder, or opens it as a host does, asks what History asks, and prints its resident memory in bytes.
import type { LogEntry } from '../../../app/core/model/pass.ts';
import { openTestServices, passEntry } from '../../unit/services/samples.ts';
import { fillCharts } from '../rows/library.ts';

const [folder, what, charts, passes] = process.argv.slice(2);
if (what === 'fill') fill(folder!, Number(charts), Number(passes));
else await open(folder!);

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

/** Sixty passes a sitting, twelve a unit, over ten years. */
function entry(n: number): LogEntry {
  const unit = Math.floor(n / 12) % 40;
  return passEntry(`p${n}`, {
    at: new Date(1.6e12 + n * 1.5e6).toISOString(),
    session: `s${Math.floor(n / 60)}`,
    climb: `c${Math.floor(n / 12)}`,
    unit: { key: `section:${unit}`, name: `Section ${unit}`, fingerprint: `f-${unit}` },
  });
}

async function open(at: string): Promise<void> {
  const host = openTestServices(at);
  await host.handle('charts.list', {});
  await host.handle('log.units', {});
  await host.handle('log.days', {});
  await host.handle('log.passes', { chart: 'k-1', unit: 'section:1' });
  process.stdout.write(String(process.memoryUsage().rss));
  host.close();
}
