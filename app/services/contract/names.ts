// The names of all calls and events, without what they carry: all that the preload needs to know.

export const callNames = [
  'charts.list',
  'charts.save',
  'charts.remove',
  'charts.restore',
  'charts.import',
  'students.list',
  'students.save',
  'students.remove',
  'students.restore',
  'ladders.list',
  'ladders.save',
  'log.append',
  'log.history',
  'settings.read',
  'settings.write',
  'host.info',
  'host.climbing',
  'host.printPdf',
  'host.openExternal',
] as const;
export type CallName = (typeof callNames)[number];

export const eventNames = ['problems', 'menu', 'power', 'second-instance'] as const;
export type EventName = (typeof eventNames)[number];

/** The view's rooms by the first part of their address, in the order of its rail, as the native menu lists them. */
export const roomNames = {
  today: 'Today',
  charts: 'Charts',
  climb: 'Climb',
  queue: 'Queue',
  log: 'Log',
  history: 'History',
  desk: 'Desk',
  sheet: 'Lesson sheet',
  pedals: 'Keys & pedals',
  care: 'Sound & care',
  ear: 'Ear',
} as const;
export type RoomId = keyof typeof roomNames;
