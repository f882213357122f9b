// Passwords and keys that this computer keeps: closed to other users, and locked by the system where it offers that.
import fs from 'node:fs';
import path from 'node:path';
import { writeFileSync } from 'atomically';
import { z } from 'zod';

/** The system's own keeper of secrets. */
export interface Vault {
  /** As text that only this user on this computer can open. */
  readonly lock: (text: string) => Promise<string>;
  /** @throws where it was locked by another user or computer */
  readonly open: (locked: string) => Promise<string>;
}

/** Undefined where the system offers none. */
export type OpenVault = () => Promise<Vault | undefined>;

const secretsSchema = z.object({
  password: z.string().optional(),
  passphrase: z.string().optional(),
  /** What the passphrase opens: the keys of each place, so that they are worked out once. */
  keys: z.record(z.string(), z.array(z.string())).optional(),
  /** The key files, as they stood then. */
  keysOf: z.string().optional(),
});
type Secrets = z.infer<typeof secretsSchema>;

const fileSchema = z.union([z.object({ locked: z.string() }), z.object({ plain: secretsSchema })]);

export class SecretKeeper {
  readonly #file: string;
  readonly #openVault: OpenVault;
  #now: Secrets = {};
  #loaded: Promise<void> | undefined;

  constructor(directory: string, openVault: OpenVault = () => Promise.resolve(undefined)) {
    this.#file = path.join(directory, 'shared-secrets.json');
    this.#openVault = openVault;
  }

  /** What is known; nothing before it was loaded. */
  get now(): Secrets {
    return this.#now;
  }

  async load(): Promise<Secrets> {
    await (this.#loaded ??= this.#read());
    return this.#now;
  }

  async keep(change: Secrets): Promise<void> {
    this.#now = { ...(await this.load()), ...change };
    const vault = await this.#openVault();
    const file = vault
      ? { locked: await vault.lock(JSON.stringify(this.#now)) }
      : { plain: this.#now };
    writeFileSync(this.#file, JSON.stringify(file), { mode: 0o600 });
  }

  drop(): void {
    this.#loaded = Promise.resolve();
    this.#now = {};
    fs.rmSync(this.#file, { force: true });
  }

  /** None where the file is lost, spoilt, or of another computer: they are asked for again. */
  async #read(): Promise<void> {
    try {
      const file = fileSchema.parse(JSON.parse(fs.readFileSync(this.#file, 'utf8')));
      if ('plain' in file) this.#now = file.plain;
      else {
        const vault = await this.#openVault();
        if (vault) this.#now = secretsSchema.parse(JSON.parse(await vault.open(file.locked)));
      }
    } catch {
      this.#now = {};
    }
  }
}
