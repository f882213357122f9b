// Brings a window back whose title bar is on no screen: a display that was unplugged takes its place with it.
import type { BrowserWindow, Rectangle } from 'electron';
import { screen } from 'electron';

/** Pixels of the title bar that must be in reach of the mouse. */
const REACH = { width: 100, height: 24 };

/** Moves a window that no display shows into the middle of the first one. */
export function bringOnScreen(window: BrowserWindow): void {
  const bounds = window.getBounds();
  if (screen.getAllDisplays().some(({ workArea }) => shows(workArea, bounds))) return;
  const { workArea } = screen.getPrimaryDisplay();
  const width = Math.min(bounds.width, workArea.width);
  const height = Math.min(bounds.height, workArea.height);
  window.setBounds({
    width,
    height,
    x: workArea.x + Math.round((workArea.width - width) / 2),
    y: workArea.y + Math.round((workArea.height - height) / 2),
  });
}

function shows(area: Rectangle, { x, y, width }: Rectangle): boolean {
  const across = Math.min(area.x + area.width, x + width) - Math.max(area.x, x);
  return across >= REACH.width && y >= area.y && y + REACH.height <= area.y + area.height;
}
