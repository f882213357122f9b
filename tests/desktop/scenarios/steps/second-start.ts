// A second start beside a running one: it hands over what it was given, shows nothing and is gone.
import { expect } from '@playwright/test';
import { app } from '../../standin/app.ts';
import { BrowserWindow } from '../../standin/window.ts';
import type { Scenario } from '../scenario.ts';

const scenario: Scenario = {
  without() {
    expect(app.quitting).toBe(true);
    expect(BrowserWindow.all).toEqual([]);
  },
};

export default scenario;
