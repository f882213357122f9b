// Keys of the shell never act where somebody types.
import { expect, it, vi } from 'vitest';
import { isPlainPress, shellKey } from '../../../../renderer/input/shell-keys.ts';

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

// X marks a break in a run-through, W and the digits answer where a pass broke: each is one plain key.
type Case = Partial<Record<'altKey' | 'ctrlKey' | 'metaKey' | 'repeat', true>> & {
  readonly target?: string;
  readonly question?: object;
};

it.each<[string, Case, boolean]>([
  ['alone', {}, true],
  ['with Ctrl, which cuts', { ctrlKey: true }, false],
  ['with the command key', { metaKey: true }, false],
  ['with Alt, which writes a sign', { altKey: true }, false],
  ['held down', { repeat: true }, false],
  ['in a text field', { target: 'TEXTAREA' }, false],
  ['behind an open question', { question: {} }, false],
])('a key %s', (_, { target = 'DIV', question = null, ...more }, plain) => {
  vi.stubGlobal('document', { querySelector: () => question });
  const event = {
    ...{ altKey: false, ctrlKey: false, metaKey: false, repeat: false },
    composedPath: () => [new Element(target) as unknown as EventTarget],
    ...more,
  };
  expect(isPlainPress(event)).toBe(plain);
});
