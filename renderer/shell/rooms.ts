// The rooms of the program in the order of the rail: a new room is one entry here, and one for the
// native menu in app/services/contract/rooms.ts.
import type { Component } from 'svelte';
import type { RoomProps } from '../state/shell/router.svelte.ts';

export type RoomPage = Component<RoomProps>;

export interface Room {
  /** First part of the address. */
  readonly id: string;
  /** One or two words on the rail. */
  readonly name: string;
  /** Path data of a line drawing on a grid of 24 × 24, stroked at 1.75 with round ends. */
  readonly icon: string;
  /** The room's page, fetched when it is first opened. It may take {@link RoomProps} or nothing. */
  readonly load: () => Promise<{ readonly default: RoomPage | Component<Record<string, never>> }>;
}

export const rooms: readonly Room[] = [
  {
    id: 'today',
    name: 'Today',
    icon: 'M4 6h16v14H4zM4 10h16M8 3.5V7M16 3.5V7M8 15l2.5 2.5L16 12.5',
    load: () => import('../screens/today/Today.svelte'),
  },
  {
    id: 'charts',
    name: 'Charts',
    icon: 'M6 3h9l4 4v14H6zM15 3v4h4M9 12h7M9 16h7',
    load: () => import('../screens/charts/Charts.svelte'),
  },
  {
    id: 'climb',
    name: 'Climb',
    icon: 'M8 3 6 21M16 3l2 18M7.6 7h8.8M7.2 12h9.6M6.6 17h10.8',
    load: () => import('../screens/climb/Climb.svelte'),
  },
  {
    id: 'run',
    name: 'Run-through',
    icon: 'M9 18V5l11-2v13M9 18a3 3 0 1 1-3-3 3 3 0 0 1 3 3zM20 16a3 3 0 1 1-3-3 3 3 0 0 1 3 3z',
    load: () => import('../screens/run/Run.svelte'),
  },
  {
    id: 'queue',
    name: 'Queue',
    icon: 'M4 6h11M4 12h11M4 18h7M18 5v13M15 15.5l3 3 3-3',
    load: () => import('../screens/queue/Queue.svelte'),
  },
  {
    id: 'log',
    name: 'Log',
    icon: 'M5 4h13a1 1 0 0 1 1 1v15H7a2 2 0 0 1-2-2zM5 18a2 2 0 0 1 2-2h12M9 8h6M9 11.5h4',
    load: () => import('../screens/log/Log.svelte'),
  },
  {
    id: 'history',
    name: 'History',
    icon: 'M4 4v16h16M7.5 15.5l3.5-4 3 2.5 5-6.5M19 11V7.5h-3.5',
    load: () => import('../screens/history/History.svelte'),
  },
  {
    id: 'desk',
    name: 'Teacher',
    icon: 'M3 11h18M5 11v9M19 11v9M8 11V5h8v6M10.5 8h3',
    load: () => import('../screens/desk/Desk.svelte'),
  },
  {
    id: 'sheet',
    name: 'Lesson sheet',
    icon: 'M7 8V3h10v5M7 17H4V8h16v9h-3M7 14h10v7H7zM9.5 17.5h5',
    load: () => import('../screens/sheet/Sheet.svelte'),
  },
  {
    id: 'pedals',
    name: 'Keys & pedals',
    icon: 'M3 15h7v4H3zM14 15h7v4h-7zM4.5 15 6 6h1.5l1 9M15.5 15 17 6h1.5l1 9',
    load: () => import('../screens/pedals/Pedals.svelte'),
  },
  {
    id: 'care',
    name: 'Sound & care',
    icon: 'M4 10v4h3l5 4V6L7 10zM15.5 9a4 4 0 0 1 0 6M18 6.5a8 8 0 0 1 0 11',
    load: () => import('../screens/care/Care.svelte'),
  },
  {
    id: 'ear',
    name: 'Ear',
    icon: 'M7 10a5.5 5.5 0 0 1 11 0c0 3-2.5 4-3.5 6S13 20.5 11 20.5 8 19 8 17.5M10 10.5a2.5 2.5 0 0 1 5 0c0 1.5-1.5 2-2 3.5',
    load: () => import('../screens/ear/EarRoom.svelte'),
  },
  {
    id: 'handbook',
    name: 'Handbook',
    icon: 'M4 5h6a2 2 0 0 1 2 2v13a2 2 0 0 0-2-2H4zM20 5h-6a2 2 0 0 0-2 2v13a2 2 0 0 1 2-2h6z',
    load: () => import('../screens/handbook/Handbook.svelte'),
  },
];

/** Where the program opens when it remembers no room, or one that is gone. */
export const firstRoom = 'today';
