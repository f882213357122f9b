// The two channels between the window and the main process.

export const CALL = 'rungwise:call';
export const EVENT = 'rungwise:event';
