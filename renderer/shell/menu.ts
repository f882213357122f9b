// What the native menu asks of the view.
import type { ServiceEvents } from '../../app/services/contract/events.ts';
import type { World } from '../state/world.ts';

/** Behind an open question nothing happens: its answer comes first. */
export function carryOut(world: World, asked: ServiceEvents['menu']): void {
  if (document.querySelector('dialog[open]')) return;
  const { router, shell } = world;
  switch (asked.action) {
    case 'open-chart':
      return router.go('charts', asked.chart);
    case 'new-chart':
      return router.go('charts', 'new');
    case 'import-chart':
      return router.go('charts', 'import');
    case 'export-chart':
      return void exportOpenChart(world);
    case 'print':
      return shell.print();
    case 'show-keys':
      shell.sheetOpen = true;
      return;
    default:
      return router.go(asked.action.slice('show-'.length));
  }
}

async function exportOpenChart({ exportDoor, library, messages, router }: World): Promise<void> {
  const id = router.room === 'charts' ? router.path[0] : undefined;
  const chart = id === undefined ? undefined : await library.open(id);
  if (!chart) return messages.say('Open the chart that is to be exported, then choose this again.');
  await exportDoor.ask(chart);
}
