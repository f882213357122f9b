// The system's own keeper of secrets (Keychain, DPAPI, Secret Service, KWallet), through Electron.
import { safeStorage } from 'electron';
import type { Vault } from '../services/machine/courier/secrets.ts';

/**
 * Undefined where the system has none: on a Linux desktop without one, Electron would lock with a password that
 * everybody knows. Asked only when there is a secret to keep, since some systems then ask their user.
 */
export async function systemVault(): Promise<Vault | undefined> {
  if (!(await safeStorage.isAsyncEncryptionAvailable())) return undefined;
  if (process.platform === 'linux' && safeStorage.getSelectedStorageBackend() === 'basic_text') {
    return undefined;
  }
  return {
    lock: async (text) => (await safeStorage.encryptStringAsync(text)).toString('base64'),
    open: async (locked) =>
      (await safeStorage.decryptStringAsync(Buffer.from(locked, 'base64'))).result,
  };
}
