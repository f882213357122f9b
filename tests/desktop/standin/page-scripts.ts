// Code that runs in the page before its own scripts: the bridge between the page's world and the preload's.
// Both functions are sent as text, so they use nothing from outside themselves.

/** The page's world: builds what the preload exposes, and asks the main process before the system is asked. */
export const mainWorld = (secret: string): string => `(${inMainWorld.toString()})('${secret}')`;

/** The preload's world: `contextBridge`, `ipcRenderer`, and the preload itself, with a sandboxed `require`. */
export const isolatedWorld = (secret: string, preload: string): string =>
  `(${inIsolatedWorld.toString()})('${secret}', function (require, exports, module, process) {${preload}\n})`;

/* eslint-disable @typescript-eslint/no-explicit-any -- both worlds pass whatever the program passes */

function inMainWorld(secret: string): void {
  if (window.top !== window) return;
  const listeners = new Map<number, (...args: any[]) => void>();
  const pending = new Map<
    number,
    { done: (value: unknown) => void; fail: (error: Error) => void }
  >();
  let count = 0;
  let answer: any;

  // The bridge copies by structured clone: a proxy or a class instance that cannot be cloned throws.
  const encode = (value: any): unknown => {
    if (typeof value === 'function') {
      listeners.set(++count, value);
      return { fn: count };
    }
    structuredClone(value);
    return { json: JSON.stringify(value) };
  };
  const parse = (json: any): unknown => (json === undefined ? undefined : JSON.parse(json));
  const ask = (what: unknown): any => {
    answer = undefined;
    document.dispatchEvent(new CustomEvent(`${secret}:in`, { detail: JSON.stringify(what) }));
    return answer;
  };
  const decode = (got: any): any => {
    if (got === undefined) throw new Error('nobody answers on the other side of the bridge');
    if (got.error !== undefined) throw new Error(got.error);
    if (got.promise) {
      return new Promise((done, fail) => pending.set(got.promise, { done, fail }));
    }
    if (got.fn) return (...args: any[]) => decode(ask({ call: got.fn, args: args.map(encode) }));
    return parse(got.json);
  };
  const build = (shape: any): any => {
    if (shape.fn) return decode(shape);
    if (!shape.members) return parse(shape.json);
    const members = Object.entries(shape.members).map(([key, inner]) => [key, build(inner)]);
    return Object.freeze(Object.fromEntries(members));
  };
  document.addEventListener(`${secret}:out`, (event) => {
    event.stopImmediatePropagation();
    const message = JSON.parse((event as CustomEvent<string>).detail);
    if (message.answer) answer = message.answer;
    else if (message.settle) {
      const { done, fail } = pending.get(message.settle)!;
      pending.delete(message.settle);
      if (message.error === undefined) done(parse(message.json));
      else fail(new Error(message.error));
    } else if (message.fn) listeners.get(message.fn)!(...message.args.map(parse));
    else if (message.expose) {
      Object.defineProperty(window, message.expose, { value: build(message.shape) });
    }
  });

  const permitted = (mode: string, name: string, details: unknown): Promise<boolean> =>
    decode(ask({ permission: [mode, name, details] }));
  const refuse = (): never => {
    throw new DOMException('Permission denied', 'NotAllowedError');
  };
  const media = navigator.mediaDevices as MediaDevices | undefined;
  if (media) {
    const real = media.getUserMedia.bind(media);
    media.getUserMedia = async (wish = {}) => {
      const mediaTypes = (['audio', 'video'] as const).filter((type) => wish[type]);
      if (!(await permitted('request', 'media', { mediaTypes }))) refuse();
      return real(wish);
    };
  }
  const midi = navigator.requestMIDIAccess?.bind(navigator);
  if (midi) {
    navigator.requestMIDIAccess = async (wish = {}) => {
      if (!(await permitted('request', wish.sysex ? 'midiSysex' : 'midi', {}))) refuse();
      return midi(wish);
    };
  }
}

function inIsolatedWorld(secret: string, code: (...all: any[]) => void): void {
  const world = globalThis as any;
  if (window.top !== window) return;
  const send = world.standinAsk as (message: string) => void;
  const functions = new Map<number, (...args: any[]) => any>();
  const waiting = new Map<
    number,
    { done: (value: unknown) => void; fail: (error: Error) => void }
  >();
  const channels = new Map<string, any[]>();
  let count = 0;

  const toMain = (message: object): Promise<unknown> =>
    new Promise((done, fail) => {
      const id = ++count;
      waiting.set(id, { done, fail });
      send(JSON.stringify({ id, ...message }));
    });
  world.standinReply = ({ id, ok, value, error }: any): void => {
    const { done, fail } = waiting.get(id)!;
    waiting.delete(id);
    if (ok) done(value);
    else fail(new Error(error));
  };
  world.standinEvent = (channel: string, args: any[]): void => {
    for (const listener of [...(channels.get(channel) ?? [])]) listener({}, ...args);
  };
  const ipcRenderer = {
    invoke: (channel: string, ...args: any[]) => {
      structuredClone(args);
      return toMain({ kind: 'invoke', channel, args });
    },
    send: (channel: string, ...args: any[]) => void toMain({ kind: 'send', channel, args }),
    on: (channel: string, listener: any) => {
      channels.set(channel, [...(channels.get(channel) ?? []), listener]);
      return ipcRenderer;
    },
    off: (channel: string, listener: any) => {
      channels.set(
        channel,
        (channels.get(channel) ?? []).filter((one) => one !== listener),
      );
      return ipcRenderer;
    },
  };

  const out = (message: unknown): boolean =>
    document.dispatchEvent(new CustomEvent(`${secret}:out`, { detail: JSON.stringify(message) }));
  const keep = (f: any): number => {
    functions.set(++count, f);
    return count;
  };
  const describe = (value: any): unknown => {
    if (typeof value === 'function') return { fn: keep(value) };
    if (value === null || typeof value !== 'object') return { json: JSON.stringify(value) };
    const members = Object.entries(value).map(([key, inner]) => [key, describe(inner)]);
    return { members: Object.fromEntries(members) };
  };
  const encode = (value: any): unknown => {
    if (typeof value === 'function') return { fn: keep(value) };
    if (!(value instanceof Promise)) return { json: JSON.stringify(structuredClone(value)) };
    const id = ++count;
    value.then(
      (result) => out({ settle: id, json: JSON.stringify(result) }),
      (error: Error) => out({ settle: id, error: error.message }),
    );
    return { promise: id };
  };
  const decode = (got: any): any =>
    got.fn
      ? (...args: any[]) => {
          structuredClone(args);
          out({ fn: got.fn, args: args.map((arg) => JSON.stringify(arg)) });
        }
      : got.json && JSON.parse(got.json);
  document.addEventListener(`${secret}:in`, (event) => {
    event.stopImmediatePropagation();
    const { permission, call, args } = JSON.parse((event as CustomEvent<string>).detail);
    try {
      const result = permission
        ? toMain({ kind: 'permission', args: permission })
        : functions.get(call)!(...args.map(decode));
      out({ answer: encode(result) });
    } catch (error) {
      out({ answer: { error: (error as Error).message } });
    }
  });

  const webUtils = { getPathForFile: (file: File) => (world.standinPaths ?? {})[file.name] ?? '' };
  const electron = {
    contextBridge: {
      exposeInMainWorld: (name: string, api: unknown) =>
        out({ expose: name, shape: describe(api) }),
    },
    ipcRenderer,
    webUtils,
  };
  const require = (name: string): unknown => {
    if (name === 'electron') return electron;
    throw new Error(`module not found: ${name}`);
  };
  const module = { exports: {} };
  code(require, module.exports, module, { platform: 'linux', sandboxed: true });
}
