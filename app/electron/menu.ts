// The native menu, by each platform's conventions; its own items are actions the view carries out.
import type { MenuItemConstructorOptions } from 'electron';
import { app, BrowserWindow, Menu } from 'electron';
import type { MenuAction } from '../services/contract/events.ts';
import type { RoomId } from '../services/contract/rooms.ts';
import { roomNames } from '../services/contract/rooms.ts';
import type { ServiceHost } from '../services/machine/host.ts';
import type { ClimbKeeper } from './climb-keeper.ts';
import { mayLeave } from './leave-climb.ts';
import { type RecentChart, recentCharts } from './recent-charts.ts';

type Item = MenuItemConstructorOptions;

/** What the menu's own items do. */
export interface MenuDoes {
  readonly act: (action: MenuAction) => void;
  readonly openChart: (id: string) => void;
  readonly reload: () => void;
}

/** The menu of the program; what leads away from a climb asks first. */
export function setUpMenu(services: ServiceHost, climb: ClimbKeeper): void {
  const leaving = async (go: () => void): Promise<void> => {
    if (!(await mayLeave(climb))) return;
    climb.end();
    go();
  };
  const does: MenuDoes = {
    act: (action) => {
      const go = (): void => services.emit('menu', { action });
      if (action === 'show-keys') go();
      else void leaving(go);
    },
    openChart: (chart) =>
      void leaving(() => services.emit('menu', { action: 'open-chart', chart })),
    reload: () => void leaving(() => BrowserWindow.getAllWindows()[0]?.webContents.reload()),
  };
  const show = (recent: readonly RecentChart[]): void =>
    Menu.setApplicationMenu(
      Menu.buildFromTemplate(menuTemplate(process.platform, app.name, does, recent)),
    );
  show([]);
  const follow = recentCharts(services, show);
  app.on('web-contents-created', (_event, contents) => follow(contents));
}

/** The whole menu as data. */
export function menuTemplate(
  platform: NodeJS.Platform,
  name: string,
  { act, openChart, reload }: MenuDoes,
  recent: readonly RecentChart[] = [],
): Item[] {
  const mac = platform === 'darwin';
  const item: MakeItem = (label, action, accelerator) => ({
    label,
    click: () => act(action),
    ...(accelerator ? { accelerator } : {}),
  });
  const settings = item(mac ? 'Settings …' : 'Settings', 'show-care', 'CmdOrCtrl+,');
  return [
    ...(mac ? [appMenu(name, settings)] : []),
    fileMenu(item, recentMenu(recent, openChart), mac ? [] : [settings], mac ? 'close' : 'quit'),
    { role: 'editMenu' },
    roomsMenu(item),
    viewMenu(reload),
    ...(mac ? [{ role: 'windowMenu' } as Item] : []),
    {
      role: 'help',
      submenu: [
        item('Handbook', 'show-handbook'),
        item('Keys', 'show-keys', 'F1'),
        ...(mac ? [] : [{ type: 'separator' } as Item, { role: 'about' } as Item]),
      ],
    },
  ];
}

type MakeItem = (label: string, action: MenuAction, accelerator?: string) => Item;

const recentMenu = (recent: readonly RecentChart[], open: (id: string) => void): Item => ({
  label: 'Open recent',
  enabled: recent.length > 0,
  submenu: recent.map(({ id, title }) => ({
    label: title.replaceAll('&', '&&'),
    click: () => open(id),
  })),
});

const fileMenu = (
  item: MakeItem,
  recent: Item,
  settings: readonly Item[],
  last: 'close' | 'quit',
): Item => ({
  label: '&File',
  submenu: [
    item('New chart', 'new-chart', 'CmdOrCtrl+N'),
    recent,
    item('Import chart …', 'import-chart', 'CmdOrCtrl+O'),
    item('Export chart …', 'export-chart', 'CmdOrCtrl+E'),
    { type: 'separator' },
    item('Print …', 'print', 'CmdOrCtrl+P'),
    { type: 'separator' },
    ...settings,
    { role: last },
  ],
});

/** Without accelerators: Alt or Option with a digit types signs such as # and | on many keyboards. */
const roomsMenu = (item: MakeItem): Item => ({
  label: '&Rooms',
  submenu: Object.entries(roomNames).map(([room, label]) =>
    // An ampersand underlines the next letter unless it is doubled.
    item(label.replace('&', '&&'), `show-${room as RoomId}`),
  ),
});

const viewMenu = (reload: () => void): Item => ({
  label: '&View',
  submenu: [
    { label: 'Reload', accelerator: 'CmdOrCtrl+R', click: reload },
    { type: 'separator' },
    { role: 'zoomIn' },
    { role: 'zoomOut' },
    { role: 'resetZoom' },
    { type: 'separator' },
    { role: 'togglefullscreen' },
  ],
});

const appMenu = (name: string, settings: Item): Item => ({
  label: name,
  submenu: [
    { role: 'about' },
    settings,
    { type: 'separator' },
    { role: 'services' },
    { type: 'separator' },
    { role: 'hide' },
    { role: 'hideOthers' },
    { role: 'unhide' },
    { type: 'separator' },
    { role: 'quit' },
  ],
});
