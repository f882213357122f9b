// The chart's text in CodeMirror: loaded only when an editor opens, styled inside its own shadow root.
import {
  type CompletionContext,
  type CompletionResult,
  autocompletion,
  closeBrackets,
} from '@codemirror/autocomplete';
import { history, isolateHistory } from '@codemirror/commands';
import {
  HighlightStyle,
  StreamLanguage,
  bracketMatching,
  foldGutter,
  syntaxHighlighting,
} from '@codemirror/language';
import { type Diagnostic, lintGutter, setDiagnostics } from '@codemirror/lint';
import { highlightSelectionMatches, search } from '@codemirror/search';
import { EditorState, type Text, Transaction } from '@codemirror/state';
import {
  EditorView,
  drawSelection,
  highlightActiveLine,
  highlightActiveLineGutter,
  keymap,
  lineNumbers,
} from '@codemirror/view';
import { tags } from '@lezer/highlight';
import type { Problem, TextEdit, TextSpan } from '../../../app/core/base/result.ts';
import { sentence } from '../../page/words.ts';
import { barsInText } from './bars-in-text.ts';
import { type LineState, readLine } from './colours.ts';
import { folding } from './folding.ts';
import { editorKeys } from './keys.ts';

export interface CodeOptions {
  readonly parent: HTMLElement;
  readonly root: ShadowRoot;
  readonly text: string;
  readonly label: string;
  /** What may stand where the cursor is, best first. */
  readonly complete: (line: string, before: string, above: string) => readonly Completion[];
  readonly onchange: (text: string) => void;
  /** What a pasted text is to be instead, given the text before the cursor; undefined leaves it as it is. */
  readonly paste?: (pasted: string, before: string) => string | undefined;
  /** Line and column from 1. */
  readonly oncursor: (line: number, column: number) => void;
}

export interface Completion {
  readonly label: string;
  /** A word about it, shown beside it. */
  readonly detail?: string;
}

/** What the editor's frame asks of the text. */
export interface Code {
  /** Replaces the text as one step that can be undone; the cursor stays where its line is. */
  setText(text: string): void;
  setProblems(problems: readonly Problem[]): void;
  /** Carries out the cure of a problem. */
  apply(edits: readonly TextEdit[]): void;
  /** Puts the cursor on a place, and the focus into the text. */
  goTo(span: TextSpan): void;
  /** Types at the cursor; `line` makes it a line of its own below. */
  insert(text: string, how: 'here' | 'line'): void;
  destroy(): void;
}

const language = StreamLanguage.define<LineState>({
  startState: () => ({ chords: false }),
  token: readLine,
});

const colourOf = [
  { tag: tags.heading, color: 'var(--brass)', fontWeight: '700' },
  { tag: tags.keyword, color: 'var(--brass)' },
  { tag: tags.comment, color: 'var(--ink-soft)', fontStyle: 'italic' },
  { tag: tags.punctuation, color: 'var(--ink-soft)' },
  { tag: tags.string, color: 'var(--ink)', fontStyle: 'italic' },
  { tag: tags.atom, color: 'var(--clean)' },
  { tag: tags.name, color: 'var(--ink)', fontWeight: '600' },
];
const colours = HighlightStyle.define(colourOf);

const look = EditorView.theme({
  '&': { height: '100%', color: 'var(--ink)', backgroundColor: 'var(--sheet)' },
  '&.cm-focused': { outline: '3px solid var(--focus)', outlineOffset: '-3px' },
  '.cm-scroller': { font: '400 0.9375rem / 1.6 var(--mono)', overflow: 'auto' },
  '.cm-gutters': {
    backgroundColor: 'var(--well)',
    color: 'var(--ink-soft)',
    border: '0',
    fontSize: '0.8125rem',
  },
  '.cm-content': { caretColor: 'var(--ink)' },
  // A long line goes on below, indented; its bars stay in one piece. Words stay under their bars.
  '.cm-line': { paddingLeft: 'calc(6px + 2ch)', textIndent: '-2ch' },
  // A row that is kept whole does not widen the others.
  '.cm-lineWrapping': { minWidth: '0' },
  '.cm-oneRow': { whiteSpace: 'pre' },
  '.cm-oneBar': { display: 'inline-block', maxWidth: '100%', textIndent: '0' },
  '.cm-barLine': { backgroundColor: 'var(--brass-wash)', boxShadow: 'inset 0 -2px var(--brass)' },
  '.cm-cursor': { borderLeftColor: 'var(--ink)', borderLeftWidth: '2px' },
  '&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground':
    {
      backgroundColor: 'var(--brass-wash)',
    },
  '.cm-activeLine, .cm-activeLineGutter': {
    backgroundColor: 'color-mix(in srgb, var(--well) 60%, transparent)',
  },
  '.cm-matchingBracket, &.cm-focused .cm-matchingBracket': {
    backgroundColor: 'var(--brass-wash)',
    outline: '1px solid var(--brass)',
  },
  '.cm-selectionMatch': { backgroundColor: 'var(--brass-wash)' },
  '.cm-lintRange-error': {
    backgroundImage: 'none',
    textDecoration: 'underline wavy var(--missed)',
    textDecorationThickness: '2px',
  },
  '.cm-tooltip, .cm-panels': {
    backgroundColor: 'var(--sheet)',
    color: 'var(--ink)',
    border: '1px solid var(--edge)',
    fontSize: '0.875rem',
  },
  '.cm-tooltip-autocomplete > ul > li[aria-selected]': {
    backgroundColor: 'var(--brass-wash)',
    color: 'var(--ink)',
  },
  '.cm-diagnosticAction, .cm-button': {
    padding: '0.25rem 0.6rem',
    border: '1px solid var(--edge)',
    borderRadius: 'var(--radius)',
    backgroundColor: 'var(--well)',
    backgroundImage: 'none',
    color: 'var(--ink)',
    font: 'inherit',
  },
  '.cm-textfield': {
    backgroundColor: 'var(--sheet)',
    color: 'var(--ink)',
    border: '1px solid var(--edge)',
  },
});

/** Puts an editor into `options.parent`, which may stand in a shadow root. */
export function openCode(options: CodeOptions): Code {
  const view = new EditorView({
    parent: options.parent,
    root: options.root,
    state: EditorState.create({ doc: options.text, extensions: extensionsFor(options) }),
  });
  return {
    setText: (text) => replaceAll(view, text),
    setProblems: (problems) =>
      view.dispatch(
        setDiagnostics(
          view.state,
          problems.flatMap((p) => diagnosticOf(view, p)),
        ),
      ),
    apply: (edits) => applyEdits(view, edits),
    goTo: (span) => {
      const { from, to } = rangeOf(view.state.doc, span);
      view.dispatch({
        selection: { anchor: from, head: to },
        effects: EditorView.scrollIntoView(from, { y: 'center' }),
      });
      view.focus();
    },
    insert: (text, how) => insert(view, text, how),
    destroy: () => view.destroy(),
  };
}

const extensionsFor = ({ label, complete, onchange, oncursor, paste }: CodeOptions) => [
  lineNumbers(),
  lintGutter(),
  foldGutter(),
  folding,
  history(),
  drawSelection(),
  highlightActiveLine(),
  highlightActiveLineGutter(),
  highlightSelectionMatches({ minSelectionLength: 2 }),
  bracketMatching(),
  EditorView.lineWrapping,
  barsInText,
  closeBrackets(),
  search({ top: true }),
  EditorState.phrases.of({ regexp: 'as a pattern', 'by word': 'whole words' }),
  autocompletion({ override: [(context) => completionsAt(context, complete)], icons: false }),
  language,
  syntaxHighlighting(colours),
  look,
  keymap.of([...editorKeys]),
  EditorView.contentAttributes.of({
    'aria-label': label,
    'aria-multiline': 'true',
    // A checker counts what is edited as focusable only by its place in the tab order.
    tabindex: '0',
    spellcheck: 'false',
    autocapitalize: 'off',
  }),
  EditorView.domEventHandlers({
    paste: (event, view) => pasted(event.clipboardData?.getData('text/plain'), view, paste),
  }),
  EditorView.updateListener.of((update) => {
    if (update.docChanged) onchange(update.state.doc.toString());
    if (update.docChanged || update.selectionSet) {
      const line = update.state.doc.lineAt(update.state.selection.main.head);
      oncursor(line.number, update.state.selection.main.head - line.from + 1);
    }
  }),
];

/** Two steps, so that the first undo gives back what was really pasted. */
function pasted(text: string | undefined, view: EditorView, paste: CodeOptions['paste']): boolean {
  const { from } = view.state.selection.main;
  const instead = text ? paste?.(text, view.state.sliceDoc(0, from)) : undefined;
  if (!text || instead === undefined) return false;
  const raw = view.state.toText(text);
  for (const [to, insert] of [
    [view.state.selection.main.to, raw],
    [from + raw.length, view.state.toText(instead)],
  ] as const) {
    view.dispatch({
      changes: { from, to, insert },
      selection: { anchor: from + insert.length },
      annotations: [isolateHistory.of('full'), Transaction.userEvent.of('input.paste')],
      scrollIntoView: true,
    });
  }
  return true;
}

/** What of the line is being typed: a name may have spaces, a sign of a bar has none. */
function typedPart(before: string): string {
  const name =
    /^\s*\[([^[\]]*)$/u.exec(before) ??
    /^\s*(?:like|form|order)\s*:\s*(?:.*,\s*)?([^,]*)$/iu.exec(before);
  return name?.[1] ?? /[^\s|([{]*$/u.exec(before)![0];
}

function completionsAt(
  context: CompletionContext,
  complete: CodeOptions['complete'],
): CompletionResult | null {
  const { state, pos, explicit } = context;
  const line = state.doc.lineAt(pos);
  const before = line.text.slice(0, pos - line.from);
  const word = typedPart(before);
  const isHeading = /^\s*\[[^\]]*$/u.test(before);
  if (word === '' && !explicit && !isHeading) return null;
  const found = complete(line.text, before, state.sliceDoc(0, line.from));
  // What is typed in full needs no list: Enter begins a new line then.
  if (found.length === 0 || (!explicit && found.some(({ label }) => label === word))) return null;
  return {
    from: pos - word.length,
    options: found.map(({ label, detail }, i) => ({
      label,
      ...(detail && { detail }),
      ...(isHeading && { apply: closeHeading }),
      boost: -i,
    })),
    validFor: (text) => /^[^\n|([{]*$/u.test(text) && !found.some(({ label }) => label === text),
  };
}

/** A section's name is closed with its bracket, and the cursor goes on behind it. */
function closeHeading(view: EditorView, { label }: Completion, from: number, to: number): void {
  const isClosed = view.state.sliceDoc(to, to + 1) === ']';
  view.dispatch({
    changes: { from, to: isClosed ? to + 1 : to, insert: `${label}]` },
    selection: { anchor: from + label.length + 1 },
    userEvent: 'input.complete',
  });
}

/** Only what differs is replaced, so that the cursor, folds and the view stay. */
function replaceAll(view: EditorView, text: string): void {
  const old = view.state.doc.toString();
  if (old === text) return;
  let from = 0;
  while (from < old.length && from < text.length && old[from] === text[from]) from++;
  let end = 0;
  const most = Math.min(old.length, text.length) - from;
  while (end < most && old[old.length - 1 - end] === text[text.length - 1 - end]) end++;
  view.dispatch({
    changes: { from, to: old.length - end, insert: text.slice(from, text.length - end) },
    annotations: [isolateHistory.of('full'), Transaction.userEvent.of('input')],
  });
}

function applyEdits(view: EditorView, edits: readonly TextEdit[]): void {
  const changes = edits.map((edit) => {
    const { from, to } = exactRange(view.state.doc, edit);
    // A line that is emptied goes with its line break.
    const whole =
      edit.text === '' &&
      from === view.state.doc.lineAt(from).from &&
      to === view.state.doc.lineAt(from).to;
    return { from, to: whole ? Math.min(to + 1, view.state.doc.length) : to, insert: edit.text };
  });
  view.dispatch({
    changes,
    annotations: [isolateHistory.of('full'), Transaction.userEvent.of('input')],
  });
  view.focus();
}

function insert(view: EditorView, text: string, how: 'here' | 'line'): void {
  const { state } = view;
  const { from, to } = state.selection.main;
  const line = state.doc.lineAt(to);
  const at = how === 'line' ? { from: line.to, to: line.to } : { from, to };
  const typed = how === 'line' && line.text.trim() !== '' ? `\n${text}` : text;
  const spaced =
    how === 'here' && from > line.from && !/[\s([{|]$/.test(line.text.slice(0, from - line.from))
      ? ` ${typed}`
      : typed;
  view.dispatch({
    changes: { ...at, insert: spaced },
    selection: { anchor: at.from + spaced.length },
    annotations: [isolateHistory.of('full'), Transaction.userEvent.of('input')],
    scrollIntoView: true,
  });
  view.focus();
}

function exactRange(doc: Text, { line, column, length }: TextSpan): { from: number; to: number } {
  const row = doc.line(Math.min(Math.max(1, line), doc.lines));
  const from = Math.min(row.from + column - 1, row.to);
  return { from, to: Math.min(from + length, row.to) };
}

/** At least one character wide, so that the mark can be seen. */
function rangeOf(doc: Text, span: TextSpan): { from: number; to: number } {
  const { from, to } = exactRange(doc, span);
  return to > from ? { from, to } : { from: Math.max(0, from - 1), to: Math.max(from, to) };
}

function diagnosticOf(view: EditorView, { span, message, cure, remedy }: Problem): Diagnostic[] {
  if (!span) return [];
  const { from, to } = rangeOf(view.state.doc, span);
  return [
    {
      from,
      to,
      severity: 'error',
      message: `${sentence(message)} ${cure}`,
      ...(remedy && {
        actions: [{ name: remedy.label, apply: () => applyEdits(view, remedy.edits) }],
      }),
    },
  ];
}
