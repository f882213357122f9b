// A window whose title bar is on no screen comes back when it is shown.
import { expect } from '@playwright/test';
import { displays } from '../standin/shell.ts';
import { type Scenario } from './scenario.ts';

// Before the program starts: the display it was on is gone, and what is left lies elsewhere.
displays.splice(0, 1, { workArea: { x: 4000, y: 0, width: 1280, height: 700 } });

const scenario: Scenario = {
  async run({ window: shown }) {
    expect(shown.bounds).toMatchObject({ x: 4040, y: 0, width: 1200, height: 700 });
  },
};

export default scenario;
