// Asks before the menu takes a player away from a climb that is under way.
import { BrowserWindow, dialog } from 'electron';
import type { ClimbKeeper } from './climb-keeper.ts';

/** True at once where no climb is under way; else what the player answers. */
export async function mayLeave(climb: ClimbKeeper): Promise<boolean> {
  const window = BrowserWindow.getAllWindows()[0];
  if (!climb.underWay || !window) return true;
  const { response } = await dialog.showMessageBox(window, {
    type: 'question',
    message: 'A climb is under way. Leave it?',
    detail: 'The passes that were judged are kept.',
    buttons: ['Keep climbing', 'Leave'],
    defaultId: 0,
    cancelId: 0,
  });
  return response === 1;
}
