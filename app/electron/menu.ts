// The native menu, by each platform's conventions; its own items are actions the view carries out.
import type { MenuItemConstructorOptions } from 'electron';
import { app, Menu } from 'electron';
import type { MenuAction } from '../services/contract/contract.ts';
import type { RoomId } from '../services/contract/rooms.ts';
import { roomNames } from '../services/contract/rooms.ts';
import type { ServiceHost } from '../services/machine/host.ts';

type Item = MenuItemConstructorOptions;

export function setUpMenu(services: ServiceHost): void {
  const act = (action: MenuAction): void => services.emit('menu', { action });
  Menu.setApplicationMenu(Menu.buildFromTemplate(menuTemplate(process.platform, app.name, act)));
}

/** The whole menu as data. @param act Called with the action of the chosen item. */
export function menuTemplate(
  platform: NodeJS.Platform,
  name: string,
  act: (action: MenuAction) => void,
): Item[] {
  const mac = platform === 'darwin';
  const item: MakeItem = (label, action, accelerator) => ({
    label,
    click: () => act(action),
    ...(accelerator ? { accelerator } : {}),
  });
  return [
    ...(mac ? [appMenu(name)] : []),
    fileMenu(item, mac ? 'close' : 'quit'),
    { role: 'editMenu' },
    roomsMenu(item),
    VIEW_MENU,
    ...(mac ? [{ role: 'windowMenu' } as Item] : []),
    { role: 'help', submenu: [item('Keys', 'show-keys', 'F1')] },
  ];
}

type MakeItem = (label: string, action: MenuAction, accelerator?: string) => Item;

const fileMenu = (item: MakeItem, last: 'close' | 'quit'): Item => ({
  label: '&File',
  submenu: [
    item('New chart', 'new-chart', 'CmdOrCtrl+N'),
    item('Import chart …', 'import-chart', 'CmdOrCtrl+O'),
    item('Export chart …', 'export-chart', 'CmdOrCtrl+E'),
    { type: 'separator' },
    item('Print …', 'print', 'CmdOrCtrl+P'),
    { type: 'separator' },
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

const VIEW_MENU: Item = {
  label: '&View',
  submenu: [
    { role: 'zoomIn' },
    { role: 'zoomOut' },
    { role: 'resetZoom' },
    { type: 'separator' },
    { role: 'togglefullscreen' },
  ],
};

const appMenu = (name: string): Item => ({
  label: name,
  submenu: [
    { role: 'about' },
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
