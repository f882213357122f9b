// Passwords and keys that are kept: locked by the system where it offers that, else closed to other users; never shown.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { SecretKeeper, type Vault } from '../../../../app/services/machine/courier/secrets.ts';
import { temporaryDirectory } from '../samples.ts';

let root: string;
beforeEach(() => (root = temporaryDirectory()));
afterEach(() => fs.rmSync(root, { recursive: true, force: true }));

const fileOf = (): string => path.join(root, 'shared-secrets.json');
const text = (): string => fs.readFileSync(fileOf(), 'utf8');

/** Of one computer: what another one locked it does not open. */
const vaultOf = (computer: string): Vault => ({
  lock: (plain) => Promise.resolve(Buffer.from(`${computer}\n${plain}`).toString('base64')),
  open: (locked) => {
    const [owner, plain] = Buffer.from(locked, 'base64').toString().split('\n');
    return owner === computer ? Promise.resolve(plain!) : Promise.reject(new Error('not mine'));
  },
});
const keeper = (vault?: Vault): SecretKeeper =>
  new SecretKeeper(root, () => Promise.resolve(vault));

describe('secrets', () => {
  it('are locked where the system has a keeper for them, and open again after a start', async () => {
    await keeper(vaultOf('laptop')).keep({ password: 'four small words' });
    expect(text()).not.toContain('four small words');
    const again = keeper(vaultOf('laptop'));
    expect(again.now).toEqual({});
    expect(await again.load()).toEqual({ password: 'four small words' });
  });

  it('are asked for again on another computer, or where the keeper is gone', async () => {
    await keeper(vaultOf('laptop')).keep({ password: 'four small words' });
    expect(await keeper(vaultOf('desktop')).load()).toEqual({});
    expect(await keeper().load()).toEqual({});
    fs.writeFileSync(fileOf(), 'no secrets');
    expect(await keeper(vaultOf('laptop')).load()).toEqual({});
  });

  it('are closed to other users where there is none, and each change keeps the others', async () => {
    const here = keeper();
    await here.keep({ password: 'one' });
    await here.keep({ passphrase: 'two' });
    expect(await keeper().load()).toEqual({ password: 'one', passphrase: 'two' });
    if (process.platform !== 'win32') expect(fs.statSync(fileOf()).mode & 0o077).toBe(0);
  });

  it('are gone once they were dropped', async () => {
    const here = keeper();
    await here.keep({ password: 'one' });
    here.drop();
    expect([await here.load(), fs.existsSync(fileOf())]).toEqual([{}, false]);
  });
});
