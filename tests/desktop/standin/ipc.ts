// Electron's `ipcMain`: one handler a channel.
import { EventEmitter } from 'node:events';

type Handler = (event: unknown, ...args: unknown[]) => unknown;

class IpcMain extends EventEmitter {
  readonly #handlers = new Map<string, Handler>();
  handle(channel: string, handler: Handler): void {
    if (this.#handlers.has(channel)) {
      throw new Error(`Attempted to register a second handler for '${channel}'`);
    }
    this.#handlers.set(channel, handler);
  }
  /** @throws Error when nobody handles the channel. */
  async answer(channel: string, event: unknown, args: readonly unknown[]): Promise<unknown> {
    const handler = this.#handlers.get(channel);
    if (!handler) throw new Error(`No handler registered for '${channel}'`);
    return handler(event, ...args);
  }
}

export const ipcMain = new IpcMain();
