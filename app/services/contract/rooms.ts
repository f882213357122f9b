// The view's rooms by the first part of their address, in the order of its rail, as the native menu lists them.

export const roomNames = {
  today: 'Today',
  charts: 'Charts',
  climb: 'Climb',
  run: 'Run-through',
  queue: 'Queue',
  log: 'Log',
  history: 'History',
  desk: 'Teacher',
  sheet: 'Lesson sheet',
  pedals: 'Keys & pedals',
  care: 'Sound & care',
  ear: 'Ear',
  handbook: 'Handbook',
} as const;
export type RoomId = keyof typeof roomNames;
