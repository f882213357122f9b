// The keys of the text of a chart, without those that many keyboards write signs with.
import { closeBracketsKeymap, completionKeymap } from '@codemirror/autocomplete';
import { defaultKeymap, historyKeymap } from '@codemirror/commands';
import { foldKeymap } from '@codemirror/language';
import { lintKeymap } from '@codemirror/lint';
import { searchKeymap } from '@codemirror/search';
import type { KeyBinding } from '@codemirror/view';
import { foldKeys } from './folding.ts';

/** Ctrl and Alt are AltGr on Windows: with a sign they write it ("[", "]", "\"), so they are left to the keyboard. */
const WRITES_A_SIGN = /^(?:Ctrl|Mod)-Alt-[^A-Za-z]$/u;

const written = ({ key, linux, win, mac }: KeyBinding): boolean =>
  [key, linux, win, mac].some((one) => one !== undefined && WRITES_A_SIGN.test(one));

export const editorKeys: readonly KeyBinding[] = [
  ...closeBracketsKeymap,
  ...completionKeymap,
  ...defaultKeymap,
  ...historyKeymap,
  ...searchKeymap,
  ...foldKeys,
  ...foldKeymap,
  ...lintKeymap,
].filter((binding) => !written(binding));
