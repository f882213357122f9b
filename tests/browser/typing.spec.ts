// Whatever is typed into a field stays in it: no key of a room, of the stage or of the sheet of keys acts there.
import type { Locator, Page } from '@playwright/test';
import { type RoomId, roomNames } from '../../app/services/contract/rooms.ts';
import { daysAgo } from '../support/test-time.ts';
import { expect, test } from './host.ts';
import { diary } from './record/diary.ts';
import { chartWith, set, student } from './record/harbour-class.ts';
import { handle } from './view/short-climb.ts';

/** Everything that takes letters or digits as text, in shadow roots, too. */
const FIELDS =
  'input:not([type=checkbox], [type=radio], [type=range], [type=file]), textarea, select, [contenteditable=true]';

interface Key {
  readonly key: string;
  readonly code: string;
  readonly alt?: true;
  readonly ctrl?: true;
  readonly shift?: true;
  readonly composing?: true;
}

const DIGITS = [...'0123456789'];
/** What Alt and a digit write on a German, French, Spanish or English keyboard of a Mac (from memory). */
const ON_A_MAC = ['≠', '¡', '“', '#', '¢', '[', '|', '{', '}', '•'];
const LETTERS = [...'abdepqswxy'];

/** Keys of rooms, of the stage, of the partner and of the sheet, plain and as keyboards send them that write with Alt. */
const TYPED: readonly Key[] = [
  ...DIGITS.map((key) => ({ key, code: `Digit${key}` })),
  ...DIGITS.map((key) => ({ key, code: `Digit${key}`, alt: true }) as const),
  ...DIGITS.map((key, i) => ({ key: ON_A_MAC[i]!, code: `Digit${key}`, alt: true }) as const),
  // AltGr as Windows may send it.
  ...['[', ']', '{', '}', '|', '\\', '@', '~', '#', '€'].map(
    (key, i) => ({ key, code: `Digit${i}`, alt: true, ctrl: true }) as const,
  ),
  ...LETTERS.map((key) => ({ key, code: `Key${key.toUpperCase()}` })),
  ...LETTERS.map((key) => ({ key: 'å', code: `Key${key.toUpperCase()}`, alt: true }) as const),
  { key: '?', code: 'Slash', shift: true },
  { key: '?', code: 'Minus', shift: true },
  { key: '¿', code: 'Minus', alt: true, shift: true },
  { key: '/', code: 'Slash' },
  { key: ' ', code: 'Space' },
  { key: 'Dead', code: 'Equal' },
  { key: 'Dead', code: 'BracketLeft', alt: true },
  // Letters of a word that is still being composed.
  ...['Space', 'KeyX', 'Digit1', 'ArrowRight', 'Slash'].map(
    (code) => ({ key: 'Process', code, composing: true }) as const,
  ),
];

interface Swept {
  readonly fields: number;
  /** Keys that the program took, and fields that a key led away from. */
  readonly taken: readonly string[];
}

/** Presses them all in every field that is shown, in the question that stands open or else in the room. */
const sweep = (page: Page): Promise<Swept> =>
  page.evaluate(
    ([selector, keys]) => {
      const within = (root: ParentNode): HTMLElement[] => [
        ...root.querySelectorAll<HTMLElement>(selector),
        ...[...root.querySelectorAll('*')].flatMap(({ shadowRoot }) =>
          shadowRoot ? within(shadowRoot) : [],
        ),
      ];
      const question = document.querySelector('dialog[open]');
      for (const fold of (question ?? document).querySelectorAll('details')) fold.open = true;
      const state = (): string =>
        `${location.hash} ${document.querySelectorAll('dialog[open]').length}`;
      const before = state();
      const taken: string[] = [];
      const fields = within(question ?? document.body).filter(
        (field) => field.checkVisibility() && !field.matches(':disabled'),
      );
      for (const field of fields) {
        field.focus();
        for (const { key, code, alt, ctrl, shift, composing } of keys) {
          const more = { altKey: alt === true, ctrlKey: ctrl === true, shiftKey: shift === true };
          // Code editors still look at the old number of a key.
          const keyCode = composing ? 229 : key.length === 1 ? key.toUpperCase().charCodeAt(0) : 0;
          const pressed = { key, code, keyCode, ...more, isComposing: composing === true };
          const down = new KeyboardEvent('keydown', {
            ...{ ...pressed, bubbles: true, composed: true, cancelable: true },
          });
          field.dispatchEvent(down);
          field.dispatchEvent(
            new KeyboardEvent('keyup', { ...pressed, bubbles: true, composed: true }),
          );
          if (down.defaultPrevented || state() !== before)
            taken.push(`${field.outerHTML.slice(0, 60)}: ${code} ${key}`);
        }
        const root = field.getRootNode() as Document | ShadowRoot;
        if (root.activeElement !== field) taken.push(`${field.outerHTML.slice(0, 60)}: left`);
      }
      return { fields: fields.length, taken };
    },
    [FIELDS, TYPED] as const,
  );

/** Where text is typed: a room, and the buttons that open a question there. */
const PLACES: readonly (readonly [address: `${RoomId}${string}`, ...buttons: string[]])[] = [
  ['today', 'Hand back a report', 'Set myself something'],
  ['charts'],
  ['charts/demo-rain-on-the-kettle', 'Paste a sheet'],
  ['charts/new'],
  ['climb/demo-rain-on-the-kettle'],
  ['run'],
  ['log'],
  ['history'],
  ['desk', 'Set for several', 'Change for several'],
  ['desk/ada', 'Set something'],
  ['sheet'],
  ['pedals'],
  ['care'],
  ['ear'],
  ['handbook'],
];

test('no key acts on the program in any field where text is typed', async ({ page, host }) => {
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  const ada = student('ada', 'Ada', { assignments: set });
  for (const one of [ada, { ...ada, id: 'bo', name: 'Bo' }])
    await handle(host, 'students.save', { student: one });
  const entries = diary({ until: daysAgo(1), days: 2, passesPerDay: 4, units: 2 });
  await handle(host, 'log.append', { entries });
  let fields = 0;
  const look = async (place: string) => {
    const swept = await sweep(page);
    expect([place, swept.taken]).toEqual([place, []]);
    expect(swept.fields, place).toBeGreaterThan(0);
    fields += swept.fields;
  };
  await page.goto(host.address);
  let before = '';
  for (const [address, ...buttons] of PLACES) {
    const room = address.split('/')[0] as RoomId;
    // One room follows another in the same page; another address of the same room is opened anew.
    await page.goto(`${new URL(page.url()).origin}/#/${address}`);
    if (room === before) await page.reload();
    before = room;
    await expect(page).toHaveTitle(`${roomNames[room]} · Rungwise`);
    await expect(page.locator(FIELDS).first()).toBeVisible();
    await look(address);
    for (const button of buttons) {
      await page.getByRole('button', { name: button }).first().click();
      await expect(page.locator('dialog[open]').locator(FIELDS).first()).toBeVisible();
      await look(`${address}, ${button}`);
      await page.keyboard.press('Escape');
      await expect(page.locator('dialog[open]')).toHaveCount(0);
    }
  }
  expect(fields).toBeGreaterThan(100);
});

test('a choice by its first letters keeps the focus, whatever it brings', async ({
  page,
  host,
}) => {
  for (const [id, name] of [
    ['ada', 'Ada'],
    ['bo', 'Bo'],
  ] as const)
    await handle(host, 'students.save', { student: student(id, name) });
  await handle(host, 'log.append', {
    entries: diary({ until: daysAgo(1), days: 2, passesPerDay: 4, units: 2 }),
  });
  await page.goto(`${host.address}#/history`);
  const whose = page.getByRole('combobox', { name: 'Whose' });
  await whose.focus();
  await page.keyboard.press('b');
  await expect(page).toHaveURL(/\/bo$/);
  await expect(page.getByText('There is no pass in this log yet.')).toBeVisible();
  await expect(whose).toBeFocused();
  await page.keyboard.press('?');
  await expect(page.getByRole('dialog')).toHaveCount(0);
});

test('behind an open question no room is left', async ({ trainer: page }) => {
  await page.keyboard.press('?');
  await expect(page.getByRole('dialog', { name: 'Keys' })).toBeVisible();
  await page.keyboard.press('Alt+Digit1');
  await page.keyboard.press('Escape');
  await expect(page.getByRole('dialog')).toHaveCount(0);
  await expect(page).toHaveTitle(/^Charts/);
});

test('a number stands as it is typed until its field is left', async ({ page, host }) => {
  await page.goto(`${host.address}#/ear`);
  const share = page.getByRole('spinbutton', { name: 'Early or late by at most' });
  await share.fill('');
  await share.pressSequentially('12.48');
  await expect(share).toHaveValue('12.48');
  await share.press('Tab');
  await expect(share).toHaveValue('12.5');
});

test('a word that is being composed is the keyboard’s until it is written', async ({
  page,
  host,
}) => {
  const devtools = await page.context().newCDPSession(page);
  const press = async (key: string, code: string) => {
    const pressed = { key, code, windowsVirtualKeyCode: 229 };
    await devtools.send('Input.dispatchKeyEvent', { type: 'rawKeyDown', ...pressed });
    await devtools.send('Input.dispatchKeyEvent', { type: 'keyUp', ...pressed });
  };
  /** As keyboards do that choose among words: the arrows, Page Down and digits take one, Enter and Escape end it. */
  const compose = async (field: Locator, word: string) => {
    await field.focus();
    for (const text of ['k', 'か', '漢']) {
      const end = { selectionStart: text.length, selectionEnd: text.length };
      await devtools.send('Input.imeSetComposition', { text, ...end });
    }
    for (const code of ['ArrowDown', 'ArrowUp', 'PageDown', 'Enter', 'Escape'])
      await press(code, code);
    for (const [key, code] of [
      ['1', 'Digit1'],
      ['?', 'Slash'],
      [' ', 'Space'],
      ['Process', 'KeyX'],
    ] as const)
      await press(key, code);
    await devtools.send('Input.insertText', { text: word });
  };
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  await page.goto(`${host.address}#/charts`);
  await page.getByRole('button', { name: 'Rename' }).first().click();
  const title = page.getByRole('dialog').getByRole('textbox');
  await title.fill('');
  await compose(title, '漢字');
  await expect(title).toHaveValue('漢字');
  await page.keyboard.press('Escape');
  await page.goto(`${host.address}#/ear`);
  const share = page.getByRole('spinbutton', { name: 'Early or late by at most' });
  await share.fill('');
  await compose(share, '１２');
  await expect(share).toHaveValue('１２');
  await page.goto(`${host.address}#/charts/demo-rain-on-the-kettle`);
  const text = page.locator('.cm-content');
  await compose(text, '漢字');
  await expect(text).toContainText('漢字');
  await expect(page).toHaveURL(/demo-rain-on-the-kettle$/);
  await expect(page.getByRole('dialog')).toHaveCount(0);
});

test('behind an open question the keys of the editor change nothing', async ({ page, host }) => {
  await page.goto(`${host.address}#/charts/demo-rain-on-the-kettle`);
  const text = page.locator('.cm-content');
  await expect(text).toBeVisible();
  await text.getByText('[', { exact: false }).first().click();
  const before = await text.innerText();
  await page.getByRole('button', { name: 'Paste a sheet' }).click();
  await page.getByRole('dialog').getByRole('textbox').first().focus();
  for (const keys of ['Alt+Shift+PageDown', 'Alt+PageDown', 'Control+s'])
    await page.keyboard.press(keys);
  await page.keyboard.press('Escape');
  await expect(page.getByRole('dialog')).toHaveCount(0);
  // Now the first key acts: whatever the others had done would have been shown before it.
  await text.focus();
  await page.keyboard.press('Alt+Shift+PageDown');
  await expect(page.getByText(/is copied below/)).toBeVisible();
  const copied = (before.match(/^\[/gmu) ?? []).length + 1;
  await expect
    .poll(async () => ((await text.innerText()).match(/^\[/gmu) ?? []).length)
    .toBe(copied);
});
