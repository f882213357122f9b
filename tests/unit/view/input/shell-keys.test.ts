// Keys of the shell never act where somebody types.
import { expect, it, vi } from 'vitest';
import { shellKey } from '../../../../renderer/input/shell-keys.ts';

class Element {
  readonly isContentEditable = false;
  readonly tagName: string;
  constructor(tagName: string) {
    this.tagName = tagName;
  }
}
vi.stubGlobal('HTMLElement', Element);
vi.stubGlobal('HTMLInputElement', class extends Element {});

const press = (code: string, target: string, more = {}) =>
  shellKey(
    {
      ...{ key: '#', code, altKey: true, ctrlKey: false, metaKey: false },
      composedPath: () => [new Element(target) as unknown as EventTarget],
      ...more,
    },
    11,
  );

it.each(['Digit3', 'Digit5', 'Digit7', 'Digit0'])('Alt and %s writes in a text field', (code) => {
  expect(press(code, 'TEXTAREA')).toBeUndefined();
  expect(press(code, 'DIV')).toMatchObject({ kind: 'room' });
});

it('AltGr, which some systems send as Ctrl and Alt, opens no room anywhere', () => {
  expect(press('Digit7', 'DIV', { ctrlKey: true })).toBeUndefined();
});

it('the sheet of keys opens outside of typing only', () => {
  const asked = { key: '?', code: 'Slash', altKey: false };
  expect(press('Slash', 'TEXTAREA', asked)).toBeUndefined();
  expect(press('Slash', 'DIV', asked)).toEqual({ kind: 'sheet' });
});
