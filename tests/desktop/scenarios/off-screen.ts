// A window whose title bar is on no screen comes back when it is shown.
import { expect } from '@playwright/test';
import { displays } from '../standin/shell.ts';
import { type Scenario } from './scenario.ts';

const scenario: Scenario = {
  // The display it was on is gone, and what is left lies elsewhere.
  before() {
    displays.splice(0, 1, { workArea: { x: 4000, y: 0, width: 1280, height: 700 } });
    return Promise.resolve([]);
  },
  async run({ window: shown }) {
    expect(shown.bounds).toMatchObject({ x: 4040, y: 0, width: 1200, height: 700 });
  },
};

export default scenario;
