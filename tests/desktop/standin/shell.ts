// What Electron offers beside windows: menu, dialogs, power, displays, the system's opener.
import { EventEmitter } from 'node:events';
import { assertReady, type MessageBox, note, record, user } from './record.ts';

interface Item {
  readonly label?: string;
  readonly role?: string;
  readonly type?: string;
  readonly enabled?: boolean;
  readonly accelerator?: string;
  readonly click?: (...all: unknown[]) => void;
  readonly submenu?: Item[] | Menu;
}

export class Menu {
  static application: Menu | null = null;
  readonly items: readonly Item[];
  constructor(items: readonly Item[]) {
    this.items = items;
  }
  static buildFromTemplate(template: readonly Item[]): Menu {
    return new Menu(
      template.map((item) => {
        if (!item.label && !item.role && item.type !== 'separator') {
          throw new TypeError('a menu item must have a label, a role or the type separator');
        }
        return Array.isArray(item.submenu)
          ? { ...item, submenu: Menu.buildFromTemplate(item.submenu) }
          : item;
      }),
    );
  }
  static setApplicationMenu(menu: Menu | null): void {
    Menu.application = menu;
  }
  static getApplicationMenu = (): Menu | null => Menu.application;
}

const ROLE_LABELS = new Map([
  ['help', 'Help'],
  ['editMenu', 'Edit'],
  ['windowMenu', 'Window'],
]);

const labelOf = ({ label, role }: Item): string =>
  (label ?? ROLE_LABELS.get(role ?? '') ?? '').replace(/&(?!&)/g, '').replace('&&', '&');

const within = ({ submenu }: Item): readonly Item[] =>
  submenu instanceof Menu ? submenu.items : (submenu ?? []);

/** Every item of the menu with an action, by its labels. */
export function menuItems(): { readonly labels: readonly string[]; readonly item: Item }[] {
  const list = (items: readonly Item[], above: readonly string[]): ReturnType<typeof menuItems> =>
    items.flatMap((item) => {
      const labels = [...above, labelOf(item)];
      return [...(item.click ? [{ labels, item }] : []), ...list(within(item), labels)];
    });
  return list(Menu.application?.items ?? [], []);
}

/** Chooses an item as a click on it does. */
export function choose(...labels: string[]): void {
  const found = menuItems().find((one) => one.labels.join() === labels.join());
  if (!found) throw new Error(`the menu has no ${labels.join(' › ')}`);
  found.item.click!(found.item);
}

export const dialog = {
  showErrorBox: (title: string, content: string): void =>
    void record.errorBoxes.push([title, content]),
  showMessageBox: (...args: unknown[]): Promise<{ response: number }> => {
    const box = args.at(-1) as MessageBox;
    record.messageBoxes.push(box);
    return user.messageBox(box);
  },
  showMessageBoxSync: (...args: unknown[]): number => {
    record.messageBoxes.push(args.at(-1) as MessageBox);
    return 0;
  },
  showSaveDialog: (...args: unknown[]) => user.saveDialog(args.at(-1)),
  showOpenDialog: () => Promise.resolve({ canceled: true, filePaths: [] }),
};

export const shell = {
  openExternal: (url: string): Promise<void> => {
    record.external.push(url);
    return Promise.resolve();
  },
  openPath: (file: string): Promise<string> => {
    note('openPath', file);
    return Promise.resolve('');
  },
  showItemInFolder: (file: string): void => note('showItemInFolder', file),
};

export const powerMonitor = new EventEmitter();

let blockers = 0;
export const powerSaveBlocker = {
  start: (type: string): number => {
    record.blockers.set((blockers += 1), type);
    return blockers;
  },
  stop: (id: number): boolean => record.blockers.delete(id),
  isStarted: (id: number): boolean => record.blockers.has(id),
};

export const displays = [{ workArea: { x: 0, y: 0, width: 1920, height: 1040 } }];
export const screen = Object.assign(new EventEmitter(), {
  getAllDisplays: () => {
    assertReady('screen');
    return displays;
  },
  getPrimaryDisplay: () => displays[0],
});
export const nativeTheme = Object.assign(new EventEmitter(), { shouldUseDarkColors: false });
