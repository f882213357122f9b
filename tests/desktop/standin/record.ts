// What was asked of the stand-in, and what the user would answer: scenarios read the one and set the other.
import type { BrowserContext, Download } from '@playwright/test';

export interface MessageBox {
  readonly type?: string;
  readonly message: string;
  readonly detail?: string;
  readonly buttons?: readonly string[];
}

export const record = {
  log: [] as [what: string, ...more: unknown[]][],
  /** Warnings and errors of the page, policy violations among them. */
  console: [] as [type: string, text: string][],
  /** What real Electron would refuse, or what went wrong on the way. */
  violations: [] as unknown[][],
  requests: [] as string[],
  permissions: [] as { readonly permission: string; readonly answer: boolean }[],
  errorBoxes: [] as [title: string, content: string][],
  messageBoxes: [] as MessageBox[],
  external: [] as string[],
  downloads: [] as Download[],
  blockers: new Map<number, string>(),
  throttling: [] as boolean[],
};

export const note = (what: string, ...more: unknown[]): void =>
  void record.log.push([what, ...more]);

const usual = {
  messageBox: (_box: MessageBox): Promise<{ response: number }> => Promise.resolve({ response: 0 }),
  saveDialog: (_options: unknown): Promise<{ canceled: boolean; filePath: string }> =>
    Promise.resolve({ canceled: true, filePath: '' }),
};
/** Answers in the user's place. */
export const user = { ...usual };

/** Before another scenario of the same start: nothing has been noted yet, and the user answers as usual. */
export function forget(): void {
  for (const noted of Object.values(record)) if (Array.isArray(noted)) noted.splice(0);
  Object.assign(user, usual);
}

/** State that the modules share. */
export const engine = {
  ready: false,
  root: '',
  context: undefined as BrowserContext | undefined,
  schemes: new Map<string, { readonly secure?: boolean }>(),
  handlers: new Map<string, (request: Request) => Response | Promise<Response>>(),
};

export function assertReady(what: string): void {
  if (!engine.ready) throw new Error(`${what} cannot be used before app is ready`);
}

export function assertNotReady(what: string): void {
  if (engine.ready) throw new Error(`${what} must be called before app is ready`);
}

export interface Cancellable {
  defaultPrevented: boolean;
  preventDefault(): void;
}

export const cancellable = (): Cancellable => ({
  defaultPrevented: false,
  preventDefault() {
    this.defaultPrevented = true;
  },
});
