// Secrets in Electron: locked by the system's own keeper where it has one, else in a file closed to other users.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { systemVault } from '../../../app/electron/vault.ts';
import { SecretKeeper } from '../../../app/services/machine/courier/secrets.ts';
import { temporaryDirectory } from '../services/samples.ts';
import { safeStorage } from './fake-electron.ts';

const electron = await vi.hoisted(() => import('./fake-electron.ts'));
vi.mock('electron', () => electron);

let directory: string;
const file = () => path.join(directory, 'shared-secrets.json');

beforeEach(() => {
  directory = temporaryDirectory();
});
afterEach(() => fs.rmSync(directory, { recursive: true, force: true }));

describe('a password', () => {
  it('does not stand in the file where the system keeps secrets', async () => {
    await new SecretKeeper(directory, systemVault).keep({ password: 'four small words' });
    expect(fs.readFileSync(file(), 'utf8')).not.toMatch(/four|small|words/);
    const again = new SecretKeeper(directory, systemVault);
    expect(await again.load()).toEqual({ password: 'four small words' });
  });

  const without: readonly (readonly [string, () => unknown])[] = [
    ['has none', () => safeStorage.isAsyncEncryptionAvailable.mockResolvedValueOnce(false)],
    [
      'has one that keeps nothing secret',
      () => {
        vi.spyOn(process, 'platform', 'get').mockReturnValueOnce('linux');
        safeStorage.getSelectedStorageBackend.mockReturnValueOnce('basic_text');
      },
    ],
  ];
  it.each(without)('lies in a closed file where the system %s', async (_case, arrange) => {
    arrange();
    await new SecretKeeper(directory, systemVault).keep({ password: 'four small words' });
    if (process.platform !== 'win32') expect(fs.statSync(file()).mode & 0o777).toBe(0o600);
    expect(await new SecretKeeper(directory).load()).toEqual({ password: 'four small words' });
  });

  it('is asked for again where another computer or user locked it', async () => {
    await new SecretKeeper(directory, systemVault).keep({ password: 'four small words' });
    expect(await new SecretKeeper(directory).load()).toEqual({});
    fs.writeFileSync(file(), 'spoilt');
    expect(await new SecretKeeper(directory, systemVault).load()).toEqual({});
  });

  it('asks the system nothing while there is no secret', async () => {
    safeStorage.isAsyncEncryptionAvailable.mockClear();
    expect(await new SecretKeeper(directory, systemVault).load()).toEqual({});
    expect(safeStorage.isAsyncEncryptionAvailable).not.toHaveBeenCalled();
  });
});
