// The charts that were opened last, for the menu: followed by the page's address, kept from one start to the next.
import type { WebContents } from 'electron';
import ElectronStore from 'electron-store';
import type { ServiceHost } from '../services/machine/host.ts';

export interface RecentChart {
  readonly id: string;
  readonly title: string;
}

const MOST = 8;

/** Room and chart in the page's address: `#/charts/ID`, `#/climb/ID/UNIT`. */
const OPEN_CHART = /#\/(?:charts|climb)\/([^/?]+)/;

/** @param changed Called with the charts, latest first, once at the start and whenever they change. */
export function recentCharts(
  services: ServiceHost,
  changed: (charts: readonly RecentChart[]) => void,
): (contents: WebContents) => void {
  const store = new ElectronStore<{ ids: string[] }>({
    name: 'recent-charts',
    defaults: { ids: [] },
  });
  const show = async (): Promise<void> => {
    const titles = await titlesOf(services);
    const known = store.get('ids').flatMap((id) => {
      const title = titles.get(id);
      return title === undefined ? [] : [{ id, title }];
    });
    changed(known);
  };
  void show();
  return (contents) => {
    contents.on('did-navigate-in-page', (_event, url) => {
      const id = OPEN_CHART.exec(url)?.[1];
      const ids = store.get('ids');
      if (id === undefined || id === ids[0]) return;
      store.set('ids', [id, ...ids.filter((other) => other !== id)].slice(0, MOST));
      void show();
    });
  };
}

async function titlesOf(services: ServiceHost): Promise<ReadonlyMap<string, string>> {
  const answer = await services.handle('charts.list', {});
  if (!answer.ok) return new Map();
  const { charts } = answer.value as { charts: readonly RecentChart[] };
  return new Map(charts.map(({ id, title }) => [id, title]));
}
